using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>The check digit against published keys.</summary>
public sealed class CheckDigitTests
{
    // The GTIN-13 with which gs1.org explains the calculation by hand (services/how-calculate-check-digit-manually); a GTIN-12
    // and a GTIN-8 of encyclopaedias' pages on those symbols; the GTIN with which GS1's guides illustrate GS1 DataMatrix; the
    // GTIN-14 of the FDA's "UDI formats by FDA-accredited issuing agency", version 1.3. All but the last from memory.
    [Theory]
    [InlineData("6291041500213")]
    [InlineData("036000291452")]
    [InlineData("96385074")]
    [InlineData("09506000134352")]
    [InlineData("51022222233336")]
    public void Published_keys_end_in_their_check_digit(string key)
    {
        Assert.True(CheckDigit.IsRight(key));
        Assert.Equal(key[^1] - '0', CheckDigit.Of(key.AsSpan()[..^1]));
        foreach (var other in Enumerable.Range(0, 10).Where(digit => digit != key[^1] - '0'))
            Assert.False(CheckDigit.IsRight(key[..^1] + (char)('0' + other)));
    }

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
