using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Answers;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Answers;

public sealed class NumberTextTests
{
    [Theory]
    [InlineData(0, "0 rows")]
    [InlineData(1, "1 row")]
    [InlineData(2, "2 rows")]
    [InlineData(12_000, "12,000 rows")]
    public void One_thing_is_told_as_one(long count, string expected) =>
        Assert.Equal(expected, NumberText.Counted(count, "row", "rows"));

    [Theory]
    [InlineData(606.5276, "606.53")]
    [InlineData(1.72083, "1.7208")]
    [InlineData(12345.678, "12,346")]
    [InlineData(2000, "2,000")]
    [InlineData(1234567.4, "1,234,567")]
    [InlineData(0.00123456, "0.0012346")]
    [InlineData(-75.1347, "-75.135")]
    [InlineData(0, "0")]
    [InlineData(1e-9, "1E-9")]
    [InlineData(3.2e20, "3.2E+20")]
    [InlineData(0.05, "0.05")]
    public void Numbers_have_five_significant_digits(double value, string expected) => Assert.Equal(expected, NumberText.Of(value));

    [Theory]
    [InlineData(0.95, "95 %")]
    [InlineData(0.9999, "99.99 %")]
    [InlineData(0.328281524, "32.828 %")]
    [InlineData(0.07, "7 %")]
    [InlineData(1e-12, "1E-10 %")]
    public void Fractions_are_percentages_of_five_digits(double fraction, string expected) => Assert.Equal(expected, NumberText.Percent(fraction));

    [Theory]
    [InlineData(3.5527e-15, "0")]
    [InlineData(3.84146, "3.8415")]
    public void What_rounding_leaves_of_a_statistic_of_0_is_0(double statistic, string expected) => Assert.Equal(expected, NumberText.Statistic(statistic));

    [Fact]
    public void What_does_not_exist_is_a_dash()
    {
        Assert.Equal("–", NumberText.Of(null));
        Assert.Equal("–", NumberText.Range(null));
        Assert.Equal("–", NumberText.Day(null));
        Assert.Equal("–", NumberText.PValue(null));
        Assert.Equal("–", EstimateText.Whole(null));
        Assert.Equal("–", EstimateText.Whole(new Estimate()));
    }

    [Fact]
    public void Ranges_and_times_are_for_people()
    {
        Assert.Equal("750 to 780", NumberText.Range(new HoursRange { LowerHours = 750, UpperHours = 780 }));
        Assert.Equal("400", NumberText.Range(new HoursRange { LowerHours = 400, UpperHours = 400 }));
        Assert.Equal("400 or more", NumberText.Range(new HoursRange { LowerHours = 400 }));
        Timestamp time = Timestamp.FromDateTime(new DateTime(2024, 3, 5, 9, 7, 0, DateTimeKind.Utc));
        Assert.Equal("2024-03-05", NumberText.Day(time));
        Assert.Equal("2024-03-05 09:07Z", NumberText.Minute(time));
        Assert.Equal("95 %", NumberText.Percent(0.95));
        Assert.Equal("0.5 %", NumberText.Percent(0.005));
        Assert.Equal("0.0312", NumberText.PValue(0.03123));
        Assert.Equal("< 0.0001", NumberText.PValue(0.00003));
    }

    [Theory]
    [InlineData(true, true, true, "540.74 (390.2 to 811.9)")]
    [InlineData(true, true, false, "540.74 (at least 390.2)")]
    [InlineData(false, true, false, "at least 390.2")]
    [InlineData(false, false, true, "at most 811.9")]
    [InlineData(true, false, false, "540.74")]
    public void An_estimate_says_which_bounds_it_has(bool value, bool lower, bool upper, string expected)
    {
        Estimate estimate = new();
        if (value)
            estimate.Value = 540.737;
        if (lower)
            estimate.Lower = 390.2;
        if (upper)
            estimate.Upper = 811.9;
        Assert.Equal(expected, EstimateText.Whole(estimate));
    }
}
