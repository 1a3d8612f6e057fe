using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Times;
using Xunit;

namespace Reliability.Files.Tests.Times;

public sealed class ZoneNameTests
{
    private static readonly ZoneName London = Zone("Europe/London");

    [Theory]
    [InlineData("2024-07-01", "2024-07-01T11:00:00Z", true)]
    [InlineData("2024-01-15", "2024-01-15T12:00:00Z", true)]
    [InlineData("2024-07-01T08:30", "2024-07-01T07:30:00Z", false)]
    [InlineData("2024-07-01 08:30:15", "2024-07-01T07:30:15Z", false)]
    [InlineData("2024-07-01T08:30Z", "2024-07-01T08:30:00Z", false)]
    [InlineData("2024-07-01T08:30:00.25+02:00", "2024-07-01T06:30:00.25Z", false)]
    public void Days_and_times_are_read_in_the_zone(string text, string expected, bool isDay)
    {
        Assert.True(London.TryRead(text, out TimeValue value, out string problem), problem);
        Assert.Equal(Stamp(expected), value.Time);
        Assert.Equal(isDay, value.IsDay);
    }

    [Theory]
    [InlineData("2024-10-27T01:30", "happened twice in Europe/London")]
    [InlineData("2024-03-31T01:30", "does not exist in Europe/London")]
    [InlineData("31.03.2024", "is neither a day such as 2024-03-31 nor a time")]
    [InlineData("2024-13-01", "is neither a day")]
    [InlineData("yesterday", "is neither a day")]
    public void What_cannot_be_placed_is_said_why(string text, string expected)
    {
        Assert.False(London.TryRead(text, out _, out string problem));
        Assert.Contains(expected, problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_zone_a_time_needs_an_offset_and_a_day_is_one_in_utc()
    {
        Assert.False(ZoneName.None.TryRead("2024-03-01T08:00", out _, out string problem));
        Assert.Contains("neither an offset", problem, StringComparison.Ordinal);
        Assert.True(ZoneName.None.TryRead("2024-03-01", out TimeValue day, out _));
        Assert.Equal(Stamp("2024-03-01T12:00:00Z"), day.Time);
    }

    [Fact]
    public void A_day_as_a_limit_is_taken_whole()
    {
        Assert.True(London.TryReadFrom("2024-07-01", out Timestamp from, out _));
        Assert.Equal(Stamp("2024-06-30T23:00:00Z"), from);
        Assert.True(London.TryReadUntil("2024-07-01", out Timestamp until, out _));
        Assert.Equal(Stamp("2024-07-01T23:00:00Z"), until);
    }

    [Fact]
    public void A_zone_that_does_not_exist_is_not_found()
    {
        Assert.False(ZoneName.TryFind("Europe/Brindlemoor", out _));
    }

    private static ZoneName Zone(string name) => ZoneName.TryFind(name, out ZoneName zone) ? zone : throw new ArgumentException(name);

    private static Timestamp Stamp(string text) => Timestamp.FromDateTimeOffset(DateTimeOffset.Parse(text, System.Globalization.CultureInfo.InvariantCulture));
}
