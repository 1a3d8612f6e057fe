using System.Diagnostics.CodeAnalysis;

namespace Reliability.History.Identifiers;

/// <summary>
/// A unique device identifier of GS1: a GTIN and what tells one piece from others of its kind. The GTIN and the serial number
/// together name one module; a serial number alone does not, since every maker counts from one.
/// </summary>
public sealed class Gs1Udi
{
    // As the FDA's "UDI formats by FDA-accredited issuing agency" writes it; further ones follow in order of their digits.
    private static readonly string[] Order =
    [
        ApplicationIdentifier.Gtin, ApplicationIdentifier.ProductionDate, ApplicationIdentifier.ExpiryDate,
        ApplicationIdentifier.Lot, ApplicationIdentifier.Serial,
    ];

    private Gs1Udi(IEnumerable<ElementString> elements) =>
        Elements = [.. elements.OrderBy(Place).ThenBy(element => element.Code, StringComparer.Ordinal)];

    /// <summary>Its element strings: 01, 11, 17, 10, 21 as far as they are there, then the others.</summary>
    public IReadOnlyList<ElementString> Elements { get; }

    /// <summary>The GTIN that stands for the type of device (01), 14 digits.</summary>
    public string Gtin => Find(ApplicationIdentifier.Gtin)!;

    /// <summary>The batch or lot (10); null when not stated.</summary>
    public string? Lot => Find(ApplicationIdentifier.Lot);

    /// <summary>When it was made (11); null when not stated.</summary>
    public Gs1Date? ProductionDate => Date(ApplicationIdentifier.ProductionDate);

    /// <summary>When it expires (17); null when not stated.</summary>
    public Gs1Date? ExpiryDate => Date(ApplicationIdentifier.ExpiryDate);

    /// <summary>The serial number (21); null when not stated: then it names a kind or a lot, not one module.</summary>
    public string? Serial => Find(ApplicationIdentifier.Serial);

    /// <summary>The one form under which it is looked up, whatever form it came in: identifiers in parentheses, in order.</summary>
    public string Canonical => string.Concat(Elements.Select(element => $"({element.Code}){element.Value}"));

    /// <summary>
    /// Whether a text begins as a GS1 element string. What does not is of another agency (HIBCC's begin with +, ICCBBA's
    /// with = or &amp;) and is not looked into.
    /// </summary>
    /// <param name="text">A unique device identifier.</param>
    public static bool BeginsAsGs1(string text) => Gs1Reader.BeginsAsGs1(text.AsSpan().Trim(' '));

    /// <summary>Reads a text with parentheses, with separators, or without both.</summary>
    /// <param name="text">The text as printed or as scanned.</param>
    /// <param name="udi">What it says; null when it cannot be read.</param>
    /// <param name="fault">What is wrong when it cannot be read.</param>
    public static bool TryRead(string text, [NotNullWhen(true)] out Gs1Udi? udi, out Gs1Fault fault)
    {
        udi = Gs1Reader.Read(text, out fault) is { } elements ? new(elements) : null;
        if (udi is null || udi.Find(ApplicationIdentifier.Gtin) is not null)
            return udi is not null;
        udi = null;
        fault = new(1, "must have the application identifier 01 with the GTIN");
        return false;
    }

    private static int Place(ElementString element) =>
        Array.IndexOf(Order, element.Code) is var place and >= 0 ? place : Order.Length;

    private string? Find(string code)
    {
        foreach (var element in Elements)
        {
            if (element.Code == code)
                return element.Value;
        }

        return null;
    }

    private Gs1Date? Date(string code) => Find(code) is { } digits ? Gs1Date.Read(digits) : null;
}
