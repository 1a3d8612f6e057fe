using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>The check digit against published keys.</summary>
public sealed class CheckDigitTests
{
    [Theory]
    // gs1.org/how-calculate-check-digit-manually, the example of the calculation by hand.
    [InlineData("6291041500213")]
    // FDA, "UDI formats by FDA-accredited issuing agency", version 1.3 of 27 January 2017, the example of GS1.
    [InlineData("51022222233336")]
    // GS1 Barcode Syntax Dictionary (github.com/gs1/gs1-syntax-dictionary, commit ff2eb4b), tests of src/lint_csum.c.
    [InlineData("02345673")]
    [InlineData("416000336108")]
    [InlineData("1234567890128")]
    [InlineData("12345678901231")]
    [InlineData("123456789012345675")]
    // GS1 Barcode Engine (github.com/gs1/gs1-barcode-engine, commit 0b1916b), tests of parity in src/c-lib/ai.c.
    [InlineData("24012345678905")]
    [InlineData("2112233789657")]
    [InlineData("02345680")]
    public void Published_keys_end_in_their_check_digit(string key)
    {
        Assert.True(CheckDigit.IsRight(key));
        Assert.Equal(key[^1] - '0', CheckDigit.Of(key.AsSpan()[..^1]));
        foreach (var other in Enumerable.Range(0, 10).Where(digit => digit != key[^1] - '0'))
            Assert.False(CheckDigit.IsRight(key[..^1] + (char)('0' + other)));
    }

    // Of the same tests of GS1 (dictionary, then engine): the first is wrong in its first digit, the others in the last.
    [Theory]
    [InlineData("12345673")]
    [InlineData("416000336109")]
    [InlineData("1234567890129")]
    [InlineData("12345678901232")]
    [InlineData("123456789012345670")]
    [InlineData("24012345678909")]
    [InlineData("2112233789658")]
    [InlineData("02345689")]
    public void Keys_published_as_wrong_are_wrong(string key) => Assert.False(CheckDigit.IsRight(key));

    [Fact]
    public void Zeros_in_front_change_nothing() =>
        Assert.Equal(CheckDigit.Of("629104150021"), CheckDigit.Of("0629104150021"));

    // What a check digit of this kind is for: every single wrong digit is found.
    [Fact]
    public void Every_single_wrong_digit_is_found()
    {
        const string Key = "51022222233336";
        for (var i = 0; i < Key.Length; i++)
            for (var digit = '0'; digit <= '9'; digit++)
                Assert.Equal(digit == Key[i], CheckDigit.IsRight(string.Concat(Key.AsSpan(0, i), [digit], Key.AsSpan(i + 1))));
    }

    [Theory]
    [InlineData("12a")]
    [InlineData("1٢")]
    public void Only_digits_have_one(string text) => Assert.Throws<ArgumentException>(() => CheckDigit.Of(text));
}
