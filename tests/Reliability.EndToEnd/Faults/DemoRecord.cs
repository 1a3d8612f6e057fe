using Reliability.Files.EventFiles;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults;

/// <summary>Everything the invented network has to post: readings of devices, the events of three hospitals, the sheets of two.</summary>
internal static class DemoRecord
{
    /// <summary>All events: the readings day by day, then file by file in their order.</summary>
    public static IReadOnlyList<ModuleEvent> Read() =>
    [
        .. FleetReadings.Read(),
        .. DemoEvents.Read(),
        .. Directory.GetFiles(Path.Combine(AppContext.BaseDirectory, "demo-data"), "lives-*.csv")
            .Order(StringComparer.Ordinal).SelectMany(Sheet),
    ];

    // Sheets are read by the reader of command line and service, so their rows get the ids that users' posts get.
    private static IEnumerable<ModuleEvent> Sheet(string path)
    {
        var rows = Rows(path).ToBlockingEnumerable().ToList();
        if (rows.Find(row => row.Problems.Count > 0) is { } bad)
            throw new InvalidDataException($"{path}, line {bad.Line}: {string.Join("; ", bad.Problems)}");
        return rows.SelectMany(row => row.Events);
    }

    private static async IAsyncEnumerable<FileRow> Rows(string path)
    {
        await using var sheet = await FileForm.OpenAsync(File.OpenRead(path), path, FileForm.LifeSheet, FileDefaults.None);
        await foreach (var row in sheet.RowsAsync())
            yield return row;
    }
}
