using System.Globalization;
using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>
/// The application identifiers that are read, against the GS1 Barcode Syntax Dictionary (github.com/gs1/gs1-syntax-dictionary,
/// gs1-syntax-dictionary.txt, commit ff2eb4b of 27 July 2026): * where no separator is needed behind it, then digits (N) or
/// characters (X), and how many.
/// </summary>
public sealed class ApplicationIdentifierTests
{
    private const string Gs = "\u001d", Gtin = "0112345678901231";

    private const string Dictionary = """
        10 X..20; 11* N6; 12* N6; 13* N6; 15* N6; 16* N6; 17* N6; 20* N2; 21 X..20; 22 X..20; 235 X..28; 240 X..30; 241 X..30;
        242 N..6; 243 X..20; 250 X..30; 251 X..30; 30 N..8;
        3100-3105* N6; 3110-3115* N6; 3120-3125* N6; 3130-3135* N6; 3140-3145* N6; 3150-3155* N6; 3160-3165* N6;
        3200-3205* N6; 3210-3215* N6; 3220-3225* N6; 3230-3235* N6; 3240-3245* N6; 3250-3255* N6; 3260-3265* N6; 3270-3275* N6;
        3280-3285* N6; 3290-3295* N6; 3300-3305* N6; 3310-3315* N6; 3320-3325* N6; 3330-3335* N6; 3340-3345* N6; 3350-3355* N6;
        3360-3365* N6; 3370-3375* N6; 3400-3405* N6; 3410-3415* N6; 3420-3425* N6; 3430-3435* N6; 3440-3445* N6; 3450-3455* N6;
        3460-3465* N6; 3470-3475* N6; 3480-3485* N6; 3490-3495* N6; 3500-3505* N6; 3510-3515* N6; 3520-3525* N6; 3530-3535* N6;
        3540-3545* N6; 3550-3555* N6; 3560-3565* N6; 3570-3575* N6; 3600-3605* N6; 3610-3615* N6; 3620-3625* N6; 3630-3635* N6;
        3640-3645* N6; 3650-3655* N6; 3660-3665* N6; 3670-3675* N6; 3680-3685* N6; 3690-3695* N6;
        37 N..8; 422 N3; 7020 X..20; 7021 X..20; 7022 X..20; 7023 X..30; 710-717 X..20; 8012 X..20; 90 X..30; 91-99 X..90
        """;

    // Those whose number ends in a check digit.
    private const string Keys = "00* N18; 02* N14; 410-417* N13";

    public static TheoryData<string, bool, bool, int, int> Identifiers => Parse(Dictionary);

    public static TheoryData<string, bool, bool, int, int> NumbersWithCheckDigit => Parse(Keys);

    [Theory]
    [MemberData(nameof(Identifiers))]
    public void What_follows_is_as_long_as_the_dictionary_says(string code, bool predefined, bool digits, int least, int most)
    {
        // A date must be one; 101010 is.
        string Value(int length) => string.Concat(Enumerable.Repeat(digits ? "10" : "Ab", length))[..length];

        var other = code == "90" ? "9112" : "9012";
        foreach (var length in (int[])[least, most])
        {
            Assert.Equal(Value(length), Read($"{Gtin}{code}{Value(length)}", code));
            Assert.Equal(Value(length), Read($"(01)12345678901231({code}){Value(length)}", code));
            Assert.Equal(Value(length), Read($"{Gtin}{code}{Value(length)}{Gs}{other}", code));
        }

        AssertRefused($"{Gtin}{code}{Value(least - 1)}");
        AssertRefused($"(01)12345678901231({code}){Value(most + 1)}");
        if (digits)
            AssertRefused($"{Gtin}{code}{Value(most)[..^1]}A");

        // What has no predefined length takes what follows for its own, and is then too long.
        var run = $"{Gtin}{code}{Value(most)}9012";
        if (predefined)
            Assert.Equal(Value(most), Read(run, code));
        else
            AssertRefused(run);
    }

    [Theory]
    [MemberData(nameof(NumbersWithCheckDigit))]
    public void Keys_have_their_length_and_their_check_digit(string code, bool predefined, bool digits, int least, int most)
    {
        Assert.True(predefined && digits && least == most);
        var key = new string('7', most - 1);
        key += CheckDigit.Of(key).ToString(CultureInfo.InvariantCulture);

        Assert.Equal(key, Read($"{Gtin}{code}{key}9012", code));
        AssertRefused($"{Gtin}{code}{key[..^1]}{(key[^1] == '9' ? '0' : (char)(key[^1] + 1))}");
        AssertRefused($"{Gtin}{code}{key[..^1]}");
    }

    // None of these is in the dictionary, though others of their beginning are.
    [Theory]
    [InlineData("04")]
    [InlineData("14")]
    [InlineData("18")]
    [InlineData("19")]
    [InlineData("236")]
    [InlineData("3106")]
    [InlineData("3170")]
    [InlineData("3380")]
    [InlineData("3580")]
    [InlineData("418")]
    [InlineData("718")]
    [InlineData("89")]
    public void What_the_dictionary_does_not_have_is_refused(string code) => AssertRefused($"(01)12345678901231({code})101010");

    private static TheoryData<string, bool, bool, int, int> Parse(string entries)
    {
        TheoryData<string, bool, bool, int, int> all = [];
        foreach (var entry in entries.Split([';', '\n'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            var (codes, format) = (entry.Split(' ')[0], entry.Split(' ')[1]);
            var range = codes.TrimEnd('*').Split('-');
            var most = int.Parse(format.TrimStart('N', 'X', '.'), CultureInfo.InvariantCulture);
            for (var code = Number(range[0]); code <= Number(range[^1]); code++)
            {
                all.Add(code.ToString("D" + range[0].Length, CultureInfo.InvariantCulture), codes.EndsWith('*'), format[0] == 'N',
                    format.Contains("..", StringComparison.Ordinal) ? 1 : most, most);
            }
        }

        return all;
    }

    private static int Number(string digits) => int.Parse(digits, CultureInfo.InvariantCulture);

    private static string Read(string text, string code)
    {
        Assert.True(Gs1Udi.TryRead(text, out var udi, out var fault), $"{text}: {fault}");
        return Assert.Single(udi.Elements, element => element.Code == code).Value;
    }

    private static void AssertRefused(string text) => Assert.False(Gs1Udi.TryRead(text, out _, out _), text);
}
