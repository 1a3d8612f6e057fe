using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>
/// Dates of element strings. The window of a hundred years is that of the GS1 General Specifications, 7.12: subtract the last
/// two digits of the present year; 51 to 99 means the century before, -50 to -99 the century after.
/// </summary>
public sealed class Gs1DateTests
{
    [Theory]
    [InlineData("141231", 2014, 2014, 12, 31)]
    [InlineData("760101", 2026, 2076, 1, 1)]  // 50 ahead
    [InlineData("770101", 2026, 1977, 1, 1)]  // 51 ahead
    [InlineData("990630", 2026, 1999, 6, 30)]
    [InlineData("000101", 2026, 2000, 1, 1)]
    [InlineData("490101", 2098, 2049, 1, 1)]  // 49 behind
    [InlineData("480101", 2098, 2148, 1, 1)]  // 50 behind
    [InlineData("990101", 2000, 1999, 1, 1)]  // 99 ahead
    [InlineData("000101", 1999, 2000, 1, 1)]  // 99 behind
    public void The_century_is_that_of_the_window(string digits, int present, int year, int month, int day) =>
        Assert.Equal(new DateOnly(year, month, day), Gs1Date.Read(digits)!.Value.Resolve(present));

    [Theory]
    [InlineData("240200", 2026, 29)]
    [InlineData("250200", 2026, 28)]
    [InlineData("260400", 2026, 30)]
    [InlineData("261200", 2026, 31)]
    public void Day_00_is_the_last_of_the_month(string digits, int present, int day) =>
        Assert.Equal(day, Gs1Date.Read(digits)!.Value.Resolve(present).Day);

    [Theory]
    [InlineData("261301")]
    [InlineData("260001")]
    [InlineData("260431")]
    [InlineData("250229")]
    [InlineData("26043")]
    [InlineData("2604a1")]
    public void What_is_no_date_is_none(string digits) => Assert.Null(Gs1Date.Read(digits));

    // Whether the date exists must not hang on the clock: 2000 has a 29 February, 2100 has none.
    [Theory]
    [InlineData(2026, 29)]
    [InlineData(2080, 28)]
    public void A_29_February_of_a_year_00_is_taken_in_every_century(int present, int day) =>
        Assert.Equal((2, day), Gs1Date.Read("000229")!.Value.Resolve(present) is var date ? (date.Month, date.Day) : default);
}
