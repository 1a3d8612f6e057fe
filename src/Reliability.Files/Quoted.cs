namespace Reliability.Files;

/// <summary>What stands in a file, made fit for a message: short, on one line, without control characters.</summary>
internal static class Quoted
{
    private const int Longest = 60;

    /// <summary>The text in quotation marks.</summary>
    public static string Of(string text) => $"\"{Plain(text)}\"";

    /// <summary>The text without them.</summary>
    public static string Plain(string text)
    {
        string shown = text.Length <= Longest ? text : text[..Longest] + "...";
        return string.Create(shown.Length, shown, static (span, source) =>
        {
            for (int i = 0; i < span.Length; i++)
                span[i] = char.IsControl(source[i]) || char.IsSurrogate(source[i]) ? '?' : source[i];
        });
    }
}
