using System.Text.Encodings.Web;
using System.Text.Json;
using Reliability.Cli.Files;

namespace Reliability.Cli.Posting;

/// <summary>How refused rows are written beside the file they come from.</summary>
/// <param name="Extension">The extension of the file of refusals.</param>
/// <param name="Heading">Its first line; null for none.</param>
/// <param name="Row">A line for a refused row: of its line number, the reason and the row itself.</param>
internal sealed record RefusalLayout(string Extension, string? Heading, Func<long, string, string, string> Row)
{
    private static readonly JsonSerializerOptions Plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>A JSON object a line, with the row as text, since it may not be JSON at all.</summary>
    public static RefusalLayout JsonLines { get; } = new(
        ".jsonl",
        null,
        (line, reason, row) => JsonSerializer.Serialize(new { line, reason, row }, Plain));

    /// <summary>The row within a line of a file of refusals; any other line is itself the row.</summary>
    public static string RowOf(string line)
    {
        if (!line.StartsWith("{\"line\":", StringComparison.Ordinal))
            return line;
        try
        {
            using JsonDocument document = JsonDocument.Parse(line);
            return document.RootElement.TryGetProperty("row", out JsonElement row) ? row.GetString() ?? line : line;
        }
        catch (Exception problem) when (problem is JsonException or InvalidOperationException)
        {
            return line;
        }
    }

    /// <summary>
    /// The sheet's own columns behind two more. Once its rows are put right it can be posted as it is: the two are skipped.
    /// </summary>
    public static RefusalLayout Sheet(string heading) => new(
        ".csv",
        $"{string.Join(',', CsvSheet.RefusalColumns)},{heading}",
        (line, reason, row) => $"{line},\"{reason.Replace("\"", "\"\"", StringComparison.Ordinal)}\",{row}");
}
