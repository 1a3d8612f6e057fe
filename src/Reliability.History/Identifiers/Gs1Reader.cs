using System.Buffers;
using System.Globalization;

namespace Reliability.History.Identifiers;

/// <summary>
/// Reads GS1 element strings: as people see them, with application identifiers in parentheses, and as scanners send them,
/// where a separator (FNC1, sent as ASCII 29) ends each one whose length is not predefined.
/// </summary>
internal sealed class Gs1Reader
{
    public const char Separator = '\x1D';

    private const int GtinLength = 14;

    // Set 82, figure 7.11-1 of the GS1 General Specifications: the invariant characters of ISO/IEC 646 without the blank.
    private static readonly SearchValues<char> Set82 = SearchValues.Create(
        "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz");

    // What a scanner sends first, to say that what follows is of GS1 and in which kind of symbol it was: GS1 DataMatrix,
    // GS1-128, GS1 QR code, GS1 DataBar and composite, GS1 DotCode.
    private static readonly string[] Symbologies = ["]d2", "]C1", "]Q3", "]e0", "]J1"];

    private readonly string _text;
    private readonly List<ElementString> _elements = [];

    private Gs1Reader(string text) => _text = text;

    /// <summary>Whether a text begins as a GS1 element string with a GTIN, or holds a separator.</summary>
    public static bool BeginsAsGs1(ReadOnlySpan<char> text) =>
        SymbologyOf(text) > 0
        || text.Contains(Separator)
        || BracketedCode(text) is not null
        || IsBareGtin(text)
        || (text.Length > 2 && text.StartsWith(ApplicationIdentifier.Gtin) && char.IsAsciiDigit(text[2]));

    /// <summary>Reads all element strings; null with what is wrong when one cannot be read.</summary>
    public static IReadOnlyList<ElementString>? Read(string text, out Gs1Fault fault)
    {
        var reader = new Gs1Reader(text);
        var start = text.Length - text.AsSpan().TrimStart().Length;
        var found = IsBareGtin(text.AsSpan().Trim(' ')) ? reader.Bare(start)
            : start < text.Length && text[start] == '(' ? reader.Bracketed(start)
            : reader.Raw(start);
        fault = found ?? default;
        return found is null ? reader._elements : null;
    }

    private Gs1Fault? Bare(int at) => Take(ApplicationIdentifier.Find(ApplicationIdentifier.Gtin)!, at, at + GtinLength);

    private Gs1Fault? Bracketed(int at)
    {
        while (at < _text.Length)
        {
            if (BracketedCode(_text.AsSpan(at)) is not { } code)
                return new(at + 1, "must be an application identifier in parentheses, such as (01)");
            if (ApplicationIdentifier.Find(code) is not { } ai)
                return Unknown(at + 1, code);
            var from = at + code.Length + 2;
            var to = from;
            while (to < _text.Length && BracketedCode(_text.AsSpan(to)) is null)
                to++;
            at = to;
            while (from < to && _text[from] == ' ')
                from++;
            while (to > from && _text[to - 1] == ' ')
                to--;
            if (Take(ai, from, to) is { } fault)
                return fault;
        }

        return null;
    }

    private Gs1Fault? Raw(int at)
    {
        var end = _text.AsSpan().TrimEnd(' ').Length;
        at += SymbologyOf(_text.AsSpan(at));
        if (at < end && _text[at] == Separator)
            at++;
        while (at < end)
        {
            var rest = _text.AsSpan(at, end - at);
            if (ApplicationIdentifier.At(rest) is not { } ai)
                return Unknown(at, rest[..Math.Min(2, rest.Length)].TrimEnd(Separator).ToString());
            var from = at + ai.Code.Length;
            var separator = _text.AsSpan(from, end - from).IndexOf(Separator);
            var to = separator < 0 ? end : from + separator;
            if (ai.IsPredefined)
                to = Math.Min(to, from + ai.Most);
            if (Take(ai, from, to) is { } fault)
                return fault;
            if (BracketedWithin(from, to) is { } bracket)
            {
                return new(bracket + 1, $"({ai.Code}) must not hold a number of 2 to 4 digits in parentheses: "
                    + "it could not be told from an application identifier");
            }

            // A separator is not needed behind a predefined length, but does no harm.
            at = to < end && _text[to] == Separator ? to + 1 : to;
        }

        return null;
    }

    private Gs1Fault? Take(ApplicationIdentifier ai, int from, int to)
    {
        var value = _text[from..to];
        if (value.Length < ai.Least || value.Length > ai.Most)
            return new(from + 1, $"({ai.Code}) must have {Length(ai)}; got {value.Length}{Hint(ai)}");
        var wrong = ai.Content == ElementContent.Text
            ? value.AsSpan().IndexOfAnyExcept(Set82)
            : value.AsSpan().IndexOfAnyExceptInRange('0', '9');
        if (wrong >= 0)
        {
            return new(from + wrong + 1, ai.Content == ElementContent.Text
                ? $"({ai.Code}) must have letters, digits and signs of GS1's character set 82 only"
                : $"({ai.Code}) must have digits only");
        }

        if (ai.Content == ElementContent.Key && !CheckDigit.IsRight(value))
            return new(from + value.Length, $"({ai.Code}) must end in its check digit, {CheckDigit.Of(value.AsSpan()[..^1])}; got {value[^1]}");
        if (ai.Content == ElementContent.Date && Gs1Date.Read(value) is null)
            return new(from + 1, $"({ai.Code}) must be a date as YYMMDD, with day 00 for the last of the month");
        foreach (var element in _elements)
        {
            if (element.Code == ai.Code)
                return element.Value == value ? null : new(from + 1, $"({ai.Code}) is there twice, and says two things");
        }

        _elements.Add(new(ai.Code, value));
        return null;
    }

    private int? BracketedWithin(int from, int to)
    {
        for (var at = from; at < to; at++)
        {
            if (BracketedCode(_text.AsSpan(at, to - at)) is not null)
                return at;
        }

        return null;
    }

    private static Gs1Fault Unknown(int at, string code) =>
        new(at + 1, $"'{code}' begins no application identifier that can be read here");

    private static string Length(ApplicationIdentifier ai) => string.Create(
        CultureInfo.InvariantCulture,
        $"{(ai.Least == ai.Most ? ai.Most : $"1 to {ai.Most}")} {(ai.Content == ElementContent.Text ? "characters" : "digits")}");

    private static string Hint(ApplicationIdentifier ai) =>
        ai.Code == ApplicationIdentifier.Gtin ? "; a shorter GTIN is filled with zeros from the left"
        : ai.IsPredefined ? string.Empty
        : "; when something follows it, a separator (ASCII 29) must end it";

    // A GTIN alone, as databases of devices keep it. An element string is longer, even the shortest with 01.
    private static bool IsBareGtin(ReadOnlySpan<char> text) =>
        text.Length == GtinLength && !text.ContainsAnyExceptInRange('0', '9') && CheckDigit.IsRight(text);

    private static int SymbologyOf(ReadOnlySpan<char> text)
    {
        foreach (var prefix in Symbologies)
        {
            if (text.StartsWith(prefix))
                return prefix.Length;
        }

        return 0;
    }

    // The digits of an application identifier in parentheses with which a text begins.
    private static string? BracketedCode(ReadOnlySpan<char> text)
    {
        if (text.Length < 4 || text[0] != '(')
            return null;
        var close = text[..Math.Min(6, text.Length)].IndexOf(')');
        return close is >= 3 and <= 5 && !text[1..close].ContainsAnyExceptInRange('0', '9') ? text[1..close].ToString() : null;
    }
}
