namespace Reliability.Engine.Remote;

/// <summary>Forms of names and texts that come from outside.</summary>
internal static class Names
{
    private const int LongestId = 63;

    /// <summary>1 to 63 of a-z and 0-9 with single hyphens, a letter first.</summary>
    public static bool IsId(string text) => IsOf(text, '-') && text[^1] != '-' && !text.Contains("--", StringComparison.Ordinal);

    /// <summary>1 to 63 of a-z, 0-9 and underscore, a letter first.</summary>
    public static bool IsParameter(string text) => IsOf(text, '_');

    /// <summary>1 to 63 of A-Z, 0-9 and underscore.</summary>
    public static bool IsCode(string text) =>
        text.Length is > 0 and <= LongestId && text.All(c => char.IsAsciiLetterUpper(c) || char.IsAsciiDigit(c) || c == '_');

    /// <summary>A text for people: so many characters, none that steers a terminal.</summary>
    public static bool IsText(string text, int longest) => text.Length > 0 && text.Length <= longest && !text.Any(char.IsControl);

    private static bool IsOf(string text, char joint) =>
        text.Length is > 0 and <= LongestId && char.IsAsciiLetterLower(text[0]) && text.All(c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == joint);
}
