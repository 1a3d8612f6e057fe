using Google.Protobuf;
using Reliability.Files.EventFiles;
using Reliability.Files.Mappings;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.Mappings;

/// <summary>The committed export of work orders says, through the committed mapping, what the event file says.</summary>
public sealed class WorkOrderTests
{
    [Fact]
    public async Task The_export_becomes_the_events_of_the_event_file()
    {
        var cancellation = TestContext.Current.CancellationToken;
        Mapping mapping = Mapping.Read(await File.ReadAllBytesAsync(Repository.Path("demo-data/mapping/workorders-orrowby.json"), cancellation), "workorders-orrowby.json");
        await using IEventFile file = await FileForm.OpenAsync(
            File.OpenRead(Repository.Path("demo-data/mapping/workorders-orrowby.csv")), "workorders-orrowby.csv", null, FileDefaults.None, mapping, cancellation);
        List<FileRow> rows = await file.RowsAsync(cancellation).ToListAsync(cancellation);

        Assert.Empty(rows.SelectMany(row => row.Problems));
        Assert.Equal(rows.Count(row => row.Ignored is not null), file.Mapping!.Ignored["test of the room, not of a module"]);
        List<ModuleEvent> mapped = [.. rows.SelectMany(row => row.Events)];
        List<ModuleEvent> expected =
        [
            .. File.ReadLines(Repository.Path("demo-data/events-orrowby.jsonl")).Select(JsonParser.Default.Parse<ModuleEvent>)
                .Where(said => said.Module.Contains("-lamp-", StringComparison.Ordinal)),
        ];
        Assert.True(expected.Count > 600);
        Assert.True(rows.Count(row => row.Events.Count == 2) > 30);
        Assert.Equal(mapped.Count, mapped.Select(said => said.EventId).Distinct().Count());
        Assert.Equal(expected.Select(What), mapped.Select(What));
    }

    /// <summary>An event without what tells of the poster's system alone: its id, its source, and the zone of an instant.</summary>
    private static ModuleEvent What(ModuleEvent said)
    {
        ModuleEvent what = new(said) { EventId = "", Source = "", Zone = "", Note = "" };
        if (what.OccurPrecision == OccurPrecision.Instant)
            what.OccurPrecision = OccurPrecision.Unspecified;
        return what;
    }
}
