namespace Reliability.History.Identifiers;

/// <summary>
/// An application identifier that can be read: what follows it, how long that is, and whether its length is predefined, so
/// that no separator is needed behind it. From the GS1 Barcode Syntax Dictionary, which GS1 keeps for programs beside its General
/// Specifications (github.com/gs1/gs1-syntax-dictionary, commit ff2eb4b of 27 July 2026): those that may stand beside a GTIN on
/// a device, without amounts, coupons and addresses.
/// </summary>
/// <param name="Code">Its digits.</param>
/// <param name="Content">What stands behind it.</param>
/// <param name="Least">At least this many characters.</param>
/// <param name="Most">At most this many characters.</param>
/// <param name="IsPredefined">Whether no separator is needed behind it.</param>
internal sealed record ApplicationIdentifier(
    string Code, ElementContent Content, int Least, int Most, bool IsPredefined)
{
    public const string Gtin = "01", Lot = "10", ProductionDate = "11", ExpiryDate = "17", Serial = "21";

    private static readonly Dictionary<string, ApplicationIdentifier> ByCode = All().ToDictionary(ai => ai.Code);

    /// <summary>The application identifier with these digits; null when this service cannot read it.</summary>
    public static ApplicationIdentifier? Find(string code) => ByCode.GetValueOrDefault(code);

    /// <summary>The application identifier with which a text begins; null when this service can read none there.</summary>
    public static ApplicationIdentifier? At(ReadOnlySpan<char> text)
    {
        // None is the beginning of another: the first two digits say how many there are.
        for (var length = 2; length <= Math.Min(4, text.Length); length++)
        {
            if (ByCode.GetAlternateLookup<ReadOnlySpan<char>>().TryGetValue(text[..length], out var found))
                return found;
        }

        return null;
    }

    private static IEnumerable<ApplicationIdentifier> All()
    {
        yield return Predefined("00", ElementContent.Key, 18);
        yield return Predefined(Gtin, ElementContent.Key, 14);
        yield return Predefined("02", ElementContent.Key, 14);
        foreach (var date in (string[])[ProductionDate, "12", "13", "15", "16", ExpiryDate])
            yield return Predefined(date, ElementContent.Date, 6);
        yield return Predefined("20", ElementContent.Digits, 2);
        // Weights and measures; the fourth digit tells where the decimal point stands.
        foreach (var (from, to) in ((int, int)[])[(310, 316), (320, 337), (340, 357), (360, 369)])
            for (var measure = from; measure <= to; measure++)
                for (var decimals = 0; decimals <= 5; decimals++)
                    yield return Predefined($"{measure}{decimals}", ElementContent.Digits, 6);
        for (var location = 410; location <= 417; location++)
            yield return Predefined($"{location}", ElementContent.Key, 13);

        yield return UpTo(Lot, ElementContent.Text, 20);
        yield return UpTo(Serial, ElementContent.Text, 20);
        yield return UpTo("22", ElementContent.Text, 20);
        yield return UpTo("235", ElementContent.Text, 28);
        yield return UpTo("240", ElementContent.Text, 30);
        yield return UpTo("241", ElementContent.Text, 30);
        yield return UpTo("242", ElementContent.Digits, 6);
        yield return UpTo("243", ElementContent.Text, 20);
        yield return UpTo("250", ElementContent.Text, 30);
        yield return UpTo("251", ElementContent.Text, 30);
        yield return UpTo("30", ElementContent.Digits, 8);
        yield return UpTo("37", ElementContent.Digits, 8);
        yield return new("422", ElementContent.Digits, 3, 3, IsPredefined: false);
        for (var country = 710; country <= 717; country++)
            yield return UpTo($"{country}", ElementContent.Text, 20);
        // What a refurbisher may add: its lot, what works, the revision, the assembly the piece came out of.
        foreach (var refurbishing in (string[])["7020", "7021", "7022"])
            yield return UpTo(refurbishing, ElementContent.Text, 20);
        yield return UpTo("7023", ElementContent.Text, 30);
        yield return UpTo("8012", ElementContent.Text, 20);
        yield return UpTo("90", ElementContent.Text, 30);
        for (var company = 91; company <= 99; company++)
            yield return UpTo($"{company}", ElementContent.Text, 90);
    }

    private static ApplicationIdentifier Predefined(string code, ElementContent content, int length) =>
        new(code, content, length, length, IsPredefined: true);

    private static ApplicationIdentifier UpTo(string code, ElementContent content, int most) =>
        new(code, content, 1, most, IsPredefined: false);
}
