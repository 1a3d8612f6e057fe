using System.Text.Encodings.Web;
using System.Text.Json;
using Reliability.Files.Lines;
using Reliability.Files.Sheets;

namespace Reliability.Files.EventFiles;

/// <summary>How refused rows are written into a file that can be put right and posted in place of them.</summary>
/// <param name="Extension">The extension of the file of refusals.</param>
/// <param name="Heading">Its first line; null for none.</param>
/// <param name="Encoding">How its text is stored: as that of the file the rows come from.</param>
/// <param name="Row">A line for a refused row: of its line number, the reason and the row itself.</param>
public sealed record RefusalLayout(string Extension, string? Heading, TextEncoding Encoding, Func<long, string, string, string> Row)
{
    private static readonly JsonSerializerOptions Plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>A JSON object a line, with the row as text, since it may not be JSON at all.</summary>
    public static RefusalLayout JsonLines { get; } = new(
        ".jsonl",
        null,
        TextEncoding.Utf8,
        (line, reason, row) => JsonSerializer.Serialize(new { line, reason, row }, Plain));

    /// <summary>The row within a line of a file of refusals; any other line is itself the row.</summary>
    internal static string RowOf(string line)
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
    public static RefusalLayout Sheet(string heading, char separator = ',', TextEncoding encoding = TextEncoding.Utf8) =>
        OfHeading($"{string.Join(separator, CsvSheet.RefusalColumns)}{separator}{heading}", encoding);

    /// <summary>The layout of a sheet whose <see cref="Heading"/> this is; what sets its columns apart stands behind the first.</summary>
    public static RefusalLayout OfHeading(string heading, TextEncoding encoding)
    {
        ArgumentNullException.ThrowIfNull(heading);
        char separator = heading[CsvSheet.RefusalColumns[0].Length];
        return new(".csv", heading, encoding, (line, reason, row) =>
            $"{line}{separator}\"{reason.Replace("\"", "\"\"", StringComparison.Ordinal)}\"{separator}{row}");
    }
}
