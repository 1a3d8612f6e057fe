using Reliability.Cli.Files;
using Reliability.Cli.Terminals;

namespace Reliability.Cli.Posting;

/// <summary>Tells in which form a file is, and opens it.</summary>
internal static class FileForm
{
    /// <summary>A ModuleEvent a line.</summary>
    public const string JsonLines = "json-lines";

    /// <summary>A sheet of events.</summary>
    public const string EventSheet = "event-sheet";

    /// <summary>A sheet of lives.</summary>
    public const string LifeSheet = "life-sheet";

    /// <summary>The forms.</summary>
    public static readonly IReadOnlyList<string> All = [JsonLines, EventSheet, LifeSheet];

    /// <summary>Opens a file for posting.</summary>
    /// <param name="path">The file.</param>
    /// <param name="form">One of <see cref="All"/>; null to go by extension and header.</param>
    /// <param name="defaults">What the command line says for all rows.</param>
    /// <exception cref="UsageException">It is not a file in a form that can be posted.</exception>
    public static IEventFile Open(string path, string? form, PostDefaults defaults)
    {
        TextFile file = TextFile.Check(path);
        if (form == JsonLines || (form is null && HasJsonExtension(path)))
            return new JsonLinesFile(file, defaults);
        CsvSheet sheet = CsvSheet.Open(file);
        try
        {
            return form switch
            {
                LifeSheet => new LifeSheet(file, sheet, defaults),
                EventSheet => new EventSheet(file, sheet, defaults),
                _ when sheet.Columns.Contains("event") => new EventSheet(file, sheet, defaults),
                _ when sheet.Columns.Contains("outcome") => new LifeSheet(file, sheet, defaults),
                _ => throw sheet.HeaderProblem(
                    $"it has neither a column event, as a sheet of events, nor a column outcome, as a sheet of lives.{sheet.SeparatorHint} "
                    + "Is this a file of JSON lines? Then name it .jsonl or give --format json-lines"),
            };
        }
        catch
        {
            sheet.Dispose();
            throw;
        }
    }

    private static bool HasJsonExtension(string path) =>
        Path.GetExtension(path).ToUpperInvariant() is ".JSONL" or ".NDJSON" or ".JSON";
}
