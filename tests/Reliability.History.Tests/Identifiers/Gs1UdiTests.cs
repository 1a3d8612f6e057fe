using CsCheck;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>Unique device identifiers of GS1, in the forms in which people and scanners give them.</summary>
public sealed class Gs1UdiTests
{
    private const string Gs = "\u001d";

    // The example of the FDA's "UDI formats by FDA-accredited issuing agency", version 1.3 of 27 January 2017, GS1's table.
    private const string Fda = "(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234";

    [Fact]
    public void The_example_of_the_FDA_is_read()
    {
        var udi = Read(Fda);

        Assert.Equal("51022222233336", udi.Gtin);
        Assert.Equal(new DateOnly(2014, 12, 31), udi.ProductionDate!.Value.Resolve(2017));
        Assert.Equal(new DateOnly(2015, 7, 7), udi.ExpiryDate!.Value.Resolve(2017));
        Assert.Equal("A213B1", udi.Lot);
        Assert.Equal("1234", udi.Serial);
        Assert.Equal(Fda, udi.Canonical);
    }

    // The same as scanners send it. GS1 General Specifications, release 18 of January 2018, 7.8.4 (page 430): an element string that
    // has no predefined length and does not stand last is ended by a separator, which comes as ASCII 29.
    [Theory]
    [InlineData("01510222222333361114123117150707" + "10A213B1" + Gs + "211234")]
    [InlineData("]d201510222222333361114123117150707" + "10A213B1" + Gs + "211234")]
    [InlineData("]C101510222222333361114123117150707" + "10A213B1" + Gs + "211234")]
    [InlineData("]Q301510222222333361114123117150707" + "211234" + Gs + "10A213B1")]
    [InlineData(Gs + "0151022222233336" + Gs + "11141231" + Gs + "17150707" + Gs + "211234" + Gs + "10A213B1" + Gs)]
    [InlineData("(01) 51022222233336 (11) 141231 (17) 150707 (10) A213B1 (21) 1234")]
    [InlineData("  (21)1234(10)A213B1(17)150707(11)141231(01)51022222233336  ")]
    public void Every_form_of_one_identifier_has_one_canonical_form(string text) => Assert.Equal(Fda, Read(text).Canonical);

    [Theory]
    [InlineData("0151022222233336", "(01)51022222233336")]
    [InlineData("015102222223333617150700211234", "(01)51022222233336(17)150700(21)1234")]
    [InlineData("0151022222233336211234", "(01)51022222233336(21)1234")]
    public void Separators_are_not_needed_behind_predefined_lengths_nor_at_the_end(string text, string canonical) =>
        Assert.Equal(canonical, Read(text).Canonical);

    // The sizes of the same table of the FDA: 14, 6, 6, 20 and 20 characters, 76 with the identifiers.
    [Fact]
    public void The_longest_one_of_the_FDA_is_read()
    {
        var (lot, serial) = (new string('L', 20), new string('S', 20));
        var scanned = $"01510222222333361114123117150707" + $"10{lot}{Gs}21{serial}";

        Assert.Equal(76, scanned.Length - Gs.Length);
        Assert.Equal((lot, serial), (Read(scanned).Lot, Read(scanned).Serial));
    }

    // HL7 Version 2.9, PRT-10 (7.4.4.10), with PRT-16, 18 and 20, which say what is in it.
    [Fact]
    public void The_example_of_HL7_is_read()
    {
        var udi = Read("(01)00643169001763(17)160712(21)21A11F4855");

        Assert.Equal("00643169001763", udi.Gtin);
        Assert.Equal(new DateOnly(2016, 7, 12), udi.ExpiryDate!.Value.Resolve(2017));
        Assert.Equal("21A11F4855", udi.Serial);
    }

    // HL7 FHIR's example-udi1 (github.com/HL7/fhir, commit 2bd8c95, source/device/device-example-udi1.xml), carrierAIDC, which has
    // an arrow for each separator.
    [Fact]
    public void The_scanned_example_of_FHIR_is_read() => Assert.Equal(
        "(01)10857674002017(17)141120(10)NYFUL01(21)192837(713)A1B2C3D4E5F6G",
        Read($"]d201108576740020171714112010NYFUL01{Gs}21192837{Gs}713A1B2C3D4E5F6G").Canonical);

    // What GS1's own programs say that scanners send (github.com/gs1/gs1-syntax-engine, commit 50657db, tests of
    // src/c-lib/scandata.c): GS1 QR code, DataMatrix, DotCode, GS1-128, DataBar and composite.
    [Theory]
    [InlineData("]Q3")]
    [InlineData("]d2")]
    [InlineData("]J1")]
    [InlineData("]C1")]
    [InlineData("]e0")]
    public void Every_symbology_of_GS1_is_read(string symbology)
    {
        Assert.Equal("(01)12312312312333(10)ABC123(99)TESTING", Read($"{symbology}011231231231233310ABC123{Gs}99TESTING").Canonical);
        Assert.Equal("(01)12312312312333(10)ABC123(99)TESTING", Read($"{symbology}011231231231233310ABC123{Gs}99TESTING{Gs}").Canonical);
        Assert.False(Gs1Udi.TryRead(symbology, out _, out _));
    }

    // Of the same tests of scanned data, then of the tests of src/c-lib/ai.c, "^" there being the separator here. Where those have no
    // GTIN, theirs, 12345678901231, stands in front: a unique device identifier must have one.
    [Theory]
    [InlineData("]e0011231231231233310ABC123" + Gs + "1199122598TESTING" + Gs + "97XYZ", "(01)12312312312333(11)991225(10)ABC123(97)XYZ(98)TESTING")]
    [InlineData("]e0012401234567890599COMPOSITE" + Gs + "98XYZ", "(01)24012345678905(98)XYZ(99)COMPOSITE")]
    [InlineData("]e0011501234567890799COMPOSITE" + Gs + "98XYZ", "(01)15012345678907(98)XYZ(99)COMPOSITE")]
    [InlineData("(01)12345678901231", "(01)12345678901231")]
    [InlineData("01123456789012311012345", "(01)12345678901231(10)12345")]
    [InlineData("0112345678901231235XYZ" + Gs + "10BATCH", "(01)12345678901231(10)BATCH(235)XYZ")]
    [InlineData("0112345678901231" + Gs, "(01)12345678901231")]
    [InlineData("0112345678901231991234", "(01)12345678901231(99)1234")]
    [InlineData("0112345678901231" + Gs + "991234", "(01)12345678901231(99)1234")]
    [InlineData("0112345678901231" + "31001234561012345", "(01)12345678901231(10)12345(3100)123456")]
    [InlineData("0112345678901231" + "1012345" + Gs + "11991225", "(01)12345678901231(11)991225(10)12345")]
    [InlineData("0112345678901231" + "2421", "(01)12345678901231(242)1")]
    [InlineData("0112345678901231" + "242123456" + Gs + "10ABC123", "(01)12345678901231(10)ABC123(242)123456")]
    [InlineData("0112345678901231" + "242123456" + Gs, "(01)12345678901231(242)123456")]
    [InlineData("0112345678901231" + "235ABCDEFGHIJKLMNOPQRSTUVWXYZ12", "(01)12345678901231(235)ABCDEFGHIJKLMNOPQRSTUVWXYZ12")]
    public void What_GS1_takes_is_taken(string text, string canonical) => Assert.Equal(canonical, Read(text).Canonical);

    [Theory]
    [InlineData("")]
    [InlineData("991234")]
    [InlineData("01A2345678901231")]
    [InlineData("011234567890123A")]
    [InlineData("0112345678901234")]
    [InlineData("011234567890123")]
    [InlineData("01123456789012312")]
    [InlineData("011234567890123" + Gs)]
    [InlineData("01123456789012345" + Gs)]
    [InlineData("01123456789012345" + Gs + "991234")]
    [InlineData("0112345678901231" + "891234")]
    [InlineData("0112345678901231" + "99~ABC")]
    [InlineData("0112345678901231" + "99ABC~")]
    [InlineData("0112345678901231" + "2421234567")]
    [InlineData("0112345678901231" + "235ABCDEFGHIJKLMNOPQRSTUVWXYZ123")]
    [InlineData("(01)123456789012312(10)12345")]
    [InlineData("(01)12345678901231(10)(11)98765")]
    [InlineData("(01)12345678901231(10)12345(11)")]
    [InlineData("(01)12345678901231(10)12345^")]
    [InlineData("(01)12345678901231(17)9(90)217")]
    [InlineData("(1A)12345")]
    [InlineData("()12345")]
    [InlineData("(1)12345")]
    [InlineData("(12345)12345")]
    [InlineData("(15")]
    [InlineData("(")]
    public void What_GS1_refuses_is_refused(string text) => Assert.False(Gs1Udi.TryRead(text, out _, out _));

    // HL7 Version 2.9, PRT-10: what begins with a digit is the device identifier alone. Databases of devices keep it so.
    [Fact]
    public void A_GTIN_alone_is_read_and_names_no_module()
    {
        // The second begins as if 01 were its application identifier.
        Assert.Equal("(01)00643169001763", Read("00643169001763").Canonical);
        Assert.Equal("(01)01234567890128", Read(" 01234567890128 ").Canonical);
        Assert.NotNull(IdentifierText.WhyNotOneModule(IdentifierKind.Udi, "00643169001763"));
        Assert.False(Gs1Udi.BeginsAsGs1("00643169001764"));
    }

    // Without a separator nothing tells a lot from what follows: GS1 asks for it, and what stands there is one lot.
    [Fact]
    public void A_lot_without_separator_goes_on_to_the_end() =>
        Assert.Equal("A213B1211234", Read("015102222223333610A213B1211234").Lot);

    [Theory]
    [InlineData("(01)51022222233337", 18, "(01) must end in its check digit, 6; got 7")]
    [InlineData("(01)6291041500213", 5, "(01) must have 14 digits; got 13; a shorter GTIN is filled with zeros from the left")]
    [InlineData("(01)96385074(21)1", 5, "(01) must have 14 digits; got 8")]
    [InlineData("(01)5102222223333A", 18, "(01) must have digits only")]
    [InlineData("(01)51022222233336(17)151301", 23, "(17) must be a date")]
    [InlineData("(01)51022222233336(17)15130", 23, "(17) must have 6 digits; got 5")]
    [InlineData("(01)51022222233336(21)", 23, "(21) must have 1 to 20 characters; got 0")]
    [InlineData("(01)51022222233336(21)123456789012345678901", 23, "(21) must have 1 to 20 characters; got 21")]
    [InlineData("(01)51022222233336(21)12 34", 25, "(21) must have letters, digits and signs of GS1's character set 82 only")]
    [InlineData("(01)51022222233336(21)é", 23, "(21) must have letters")]
    [InlineData("(01)51022222233336(21)a^b", 24, "(21) must have letters")]
    [InlineData("(01)51022222233336(88)1", 20, "'88' begins no application identifier that can be read here")]
    [InlineData("015102222223333688AB", 17, "'88' begins no application identifier")]
    [InlineData("]d20151022222233336881", 20, "'88' begins no application identifier")]
    [InlineData("(21)1234", 1, "must have the application identifier 01")]
    [InlineData("(01)51022222233336(21)1(21)2", 28, "(21) is there twice")]
    [InlineData("(01)51022222233336 21 1234", 5, "(01) must have 14 digits; got 22")]
    [InlineData("015102222223333610A(21)B", 20, "(10) must not hold a number of 2 to 4 digits in parentheses")]
    [InlineData("01510222222" + Gs + "33336", 3, "(01) must have 14 digits; got 9")]
    [InlineData("]d2", 1, "must have the application identifier 01")]
    public void What_is_wrong_is_told_with_its_place_and_the_rule(string text, int position, string rule)
    {
        Assert.False(Gs1Udi.TryRead(text, out var udi, out var fault));

        Assert.Null(udi);
        Assert.Equal(position, fault.Position);
        Assert.StartsWith(rule, fault.Rule, StringComparison.Ordinal);
    }

    // GS1 General Specifications, figure 7.11-1, in the form of src/lint_cset82.c of github.com/gs1/gs1-syntax-dictionary, commit ff2eb4b,
    // whose tests try each character by itself.
    [Fact]
    public void Exactly_the_82_characters_are_taken()
    {
        var taken = Enumerable.Range(1, 0x2FF).Select(code => (char)code)
            .Where(c => c is not ' ' && Gs1Udi.TryRead($"(01)51022222233336(21)a{c}b", out _, out _)).ToArray();

        Assert.Equal(82, taken.Length);
        Assert.Equal(
            "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz", new string(taken));
    }

    // By the GS1 Barcode Syntax Dictionary, as below.
    [Theory]
    [InlineData("0151022222233336" + "3103000189" + "211234", "(01)51022222233336(21)1234(3103)000189")]
    [InlineData("0151022222233336" + "2001" + "211234", "(01)51022222233336(21)1234(20)01")]
    [InlineData("0151022222233336" + "240AB-1" + Gs + "211234", "(01)51022222233336(21)1234(240)AB-1")]
    [InlineData("0151022222233336" + "91own" + Gs + "211234", "(01)51022222233336(21)1234(91)own")]
    public void Further_application_identifiers_stand_behind(string text, string canonical) =>
        Assert.Equal(canonical, Read(text).Canonical);

    [Theory]
    [InlineData(Fda, true)]
    [InlineData("]d201510", true)]
    [InlineData("01510", true)]
    [InlineData("(99)x", true)]
    [InlineData("17150707" + Gs + "01", true)]
    // HIBCC's and ICCBBA's: HL7 Version 2.9, PRT-10, which tells agencies apart by the first character, and HL7 FHIR's example-udi3
    // and example-udi4 (github.com/HL7/fhir, source/device, commits 1c95b63 and 1730864). Then plain text.
    [InlineData("+H123PARTNO1234567890120/$$420020216LOT123456789012345/SXYZ456789012345678/16D20130202C", false)]
    [InlineData("=/A9999XYZ100T0944=,000025=A99971312345600=>014032=}013032&,1000000000000XYZ123", false)]
    [InlineData("=)1TE123456A&)RZ12345678", false)]
    [InlineData("01-QX-77", false)]
    [InlineData("UDI 4711", false)]
    [InlineData("", false)]
    public void The_agency_is_told_by_how_it_begins(string text, bool gs1) => Assert.Equal(gs1, Gs1Udi.BeginsAsGs1(text));

    [Fact]
    public void The_canonical_form_is_read_back_and_the_scanned_form_says_the_same() =>
        Gen.Select(Gen.String[Gen.Char[Set82], 1, 20], Gen.String[Gen.Char[Set82], 1, 20], Gen.Int[0, 99])
            .Sample((lot, serial, year) =>
            {
                var scanned = $"]d20151022222233336{ApplicationIdentifierOfLot}{lot}{Gs}17{year:00}1200{SerialCode}{serial}";
                if (!Gs1Udi.TryRead(scanned, out var udi, out var fault))
                {
                    // Only what looks like an application identifier in parentheses may be refused.
                    Assert.Matches(@"\(\d{2,4}\)", lot + Gs + serial);
                    Assert.Contains("parentheses", fault.Rule, StringComparison.Ordinal);
                    return;
                }

                Assert.Equal((lot, serial), (udi.Lot, udi.Serial));
                Assert.Equal(udi.Canonical, Read(udi.Canonical).Canonical);
            });

    // Nothing makes the reader throw: it stands where integrators' text comes in.
    [Fact]
    public void Any_text_is_read_or_refused() =>
        Gen.String[Gen.OneOf(Gen.Char["()]dCQ0123456789\u001d "], Gen.Char), 0, 60]
            .Sample(text => Assert.True(Gs1Udi.TryRead(text, out var udi, out var fault) ? udi is not null : fault.Position >= 1));

    private const string ApplicationIdentifierOfLot = "10", SerialCode = "21";

    private const string Set82 =
        "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz";

    private static Gs1Udi Read(string text)
    {
        Assert.True(Gs1Udi.TryRead(text, out var udi, out var fault), fault.ToString());
        return udi;
    }
}
