using Reliability.Files.Lines;
using Reliability.Files.Mappings;
using Reliability.Files.Sheets;

namespace Reliability.Files.EventFiles;

/// <summary>Tells in which form a file is, and opens it.</summary>
public static class FileForm
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
    /// <param name="content">The file's bytes, which the answer owns from now on.</param>
    /// <param name="name">What its user calls it; its extension tells JSON lines.</param>
    /// <param name="form">One of <see cref="All"/>; null to go by extension and header.</param>
    /// <param name="defaults">What is said for all rows.</param>
    /// <param name="mapping">How to read a sheet of another system; null for files in our own forms.</param>
    /// <param name="cancellation">Ends the opening.</param>
    /// <exception cref="FileUnusableException">It is not a file in a form that can be posted.</exception>
    public static async Task<IEventFile> OpenAsync(
        Stream content, string name, string? form, FileDefaults defaults, Mapping? mapping = null, CancellationToken cancellation = default)
    {
        if (mapping is not null)
            return await OpenMappedAsync(content, name, form, defaults, mapping, cancellation).ConfigureAwait(false);
        SourceLines lines = new(content, name);
        try
        {
            if (form == JsonLines || (form is null && HasJsonExtension(name)))
                return new JsonLinesFile(lines, defaults);
            CsvSheet sheet = await CsvSheet.OpenAsync(lines, cancellation).ConfigureAwait(false);
            return form switch
            {
                LifeSheet => new LifeSheet(sheet, defaults),
                EventSheet => new EventSheet(sheet, defaults),
                _ when sheet.Columns.Contains("event") => new EventSheet(sheet, defaults),
                _ when sheet.Columns.Contains("outcome") => new LifeSheet(sheet, defaults),
                _ => throw sheet.HeaderProblem(
                    $"it has neither a column event, as a sheet of events, nor a column outcome, as a sheet of lives.{sheet.SeparatorHint} "
                    + "Is this a file of JSON lines? Then name it .jsonl or give its format as json-lines"),
            };
        }
        catch
        {
            await lines.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    private static async Task<IEventFile> OpenMappedAsync(
        Stream content, string name, string? form, FileDefaults defaults, Mapping mapping, CancellationToken cancellation)
    {
        try
        {
            return form is null
                ? await MappedFile.OpenAsync(content, name, mapping, defaults, cancellation).ConfigureAwait(false)
                : throw new FileUnusableException(mapping.Name, new FileProblem("", "a mapping says itself what the rows are; leave the format away"));
        }
        catch
        {
            await content.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    private static bool HasJsonExtension(string path) =>
        Path.GetExtension(path).ToUpperInvariant() is ".JSONL" or ".NDJSON" or ".JSON";
}
