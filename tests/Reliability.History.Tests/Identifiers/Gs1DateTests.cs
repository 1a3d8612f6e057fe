using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>
/// Dates of element strings. The GS1 General Specifications say that they reach from 49 years back to 50 years ahead (3.4.5,
/// quoted by the documentation of the Ruby gem gs1 1.1.0, which sends to 7.12 for the century). The rule itself as the GS1 Barcode
/// Syntax Dictionary has it (github.com/gs1/gs1-syntax-dictionary, commit ff2eb4b, src/lint_yymmd0.c): subtract the last two
/// digits of the present year; 51 or more is the century before, -50 or less the century after.
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
    // The examples of the General Specifications, 3.4.5, by the same quotation.
    [InlineData("130200", 2026, 28)]
    [InlineData("160200", 2026, 29)]
    [InlineData("240200", 2026, 29)]
    [InlineData("250200", 2026, 28)]
    [InlineData("260400", 2026, 30)]
    [InlineData("261200", 2026, 31)]
    public void Day_00_is_the_last_of_the_month(string digits, int present, int day) =>
        Assert.Equal(day, Gs1Date.Read(digits)!.Value.Resolve(present).Day);

    // The tests of src/lint_yymmd0.c in the syntax dictionary, read in 2021 as there.
    [Theory]
    [InlineData("000606", 2000, 6, 6)]
    [InlineData("250606", 2025, 6, 6)]
    [InlineData("500606", 2050, 6, 6)]
    [InlineData("750606", 1975, 6, 6)]
    [InlineData("990606", 1999, 6, 6)]
    [InlineData("200131", 2020, 1, 31)]
    [InlineData("200229", 2020, 2, 29)]
    [InlineData("200430", 2020, 4, 30)]
    [InlineData("201231", 2020, 12, 31)]
    [InlineData("210228", 2021, 2, 28)]
    [InlineData("000229", 2000, 2, 29)]
    [InlineData("040229", 2004, 2, 29)]
    [InlineData("960229", 1996, 2, 29)]
    [InlineData("200600", 2020, 6, 30)]
    public void Dates_that_GS1_takes_are_taken(string digits, int year, int month, int day) =>
        Assert.Equal(new DateOnly(year, month, day), Gs1Date.Read(digits)!.Value.Resolve(2021));

    [Theory]
    [InlineData("x00131")]
    [InlineData("20013x")]
    [InlineData("")]
    [InlineData("11111")]
    [InlineData("1111111")]
    [InlineData("200010")]
    [InlineData("201310")]
    [InlineData("209910")]
    [InlineData("200132")]
    [InlineData("200230")]
    [InlineData("200431")]
    [InlineData("200631")]
    [InlineData("200931")]
    [InlineData("201131")]
    [InlineData("201232")]
    [InlineData("210229")]
    [InlineData("220229")]
    [InlineData("230229")]
    [InlineData("240230")]
    [InlineData("000230")]
    [InlineData("960230")]
    public void Dates_that_GS1_refuses_are_refused(string digits) => Assert.Null(Gs1Date.Read(digits));

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
