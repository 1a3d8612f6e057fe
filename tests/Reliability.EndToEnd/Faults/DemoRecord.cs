using Reliability.Cli.Files;
using Reliability.Cli.Posting;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults;

/// <summary>Everything the invented network has to post: the events of its three hospitals and the sheets of two.</summary>
internal static class DemoRecord
{
    // Sheets are read by the command line's own reader, so their rows get the ids that users' posts get.
    private static readonly PostDefaults Defaults = new(Source: "", ZoneName.None, CompleteFrom: null);

    /// <summary>All events, file by file in their order.</summary>
    public static IReadOnlyList<ModuleEvent> Read() =>
    [
        .. DemoEvents.Read(),
        .. Directory.GetFiles(Path.Combine(AppContext.BaseDirectory, "demo-data"), "lives-*.csv")
            .Order(StringComparer.Ordinal).SelectMany(Sheet),
    ];

    private static IReadOnlyList<ModuleEvent> Sheet(string path)
    {
        using var sheet = FileForm.Open(path, FileForm.LifeSheet, Defaults);
        var rows = sheet.Rows().ToList();
        if (rows.Find(row => row.Problems.Count > 0) is { } bad)
            throw new InvalidDataException($"{path}, line {bad.Line}: {string.Join("; ", bad.Problems)}");
        return [.. rows.Select(row => row.Event)];
    }
}
