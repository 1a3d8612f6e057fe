using System.Globalization;
using System.Text;
using Reliability.Files.EventFiles;
using Reliability.Files.Mappings;
using Reliability.Files.Tests.Lines;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

/// <summary>Memory does not grow with the file. What is alive is measured by the collector, at every hundred-thousandth row.</summary>
[Collection(nameof(MemoryTests))]
[CollectionDefinition(nameof(MemoryTests), DisableParallelization = true)]
public sealed class MemoryTests
{
    private const long FileBytes = 200L << 20;
    private const int Looked = 100_000;

    // What a reader holds is buffers of a line or two; the rest is the tests' own.
    private const long Bound = 16L << 20;

    private const string Rules = """
        { "delimiter": ";", "decimal_comma": true, "rows": [ { "events": [ { "event": "run_hours_read", "fields": {
          "event_id": "no", "module": "unit", "occur_time": "when", "reading_hours": "hours" } } ] } ] }
        """;

    [Fact]
    public async Task A_sheet_of_200_MiB_is_read_in_the_memory_of_a_few_lines() => await MeasureAsync(
        "events.csv", "event,event_id,module,occur_time,reading_hours,note\n",
        row => $"run_hours_read,r{row},lamp-{row % 500},2024-03-05T08:00Z,{row},{new string('n', 200)}\n", mapping: null);

    [Fact]
    public async Task Lines_of_json_likewise() => await MeasureAsync(
        "events.jsonl", "",
        row => $$$"""{"eventId": "r{{{row}}}", "module": "modules/lamp-{{{row % 500}}}", "occurTime": "2024-03-05T08:00:00Z", "note": "{{{new string('n', 190)}}}", "runHoursRead": {"readings": [{"hours": {{{row}}}}]}}""" + "\n",
        mapping: null);

    [Fact]
    public async Task An_export_through_a_mapping_likewise() => await MeasureAsync(
        "export.csv", "no;unit;when;hours;remark\n",
        row => $"r{row};lamp-{row % 500};2024-03-05T08:00Z;{row},5;{new string('n', 220)}\n", Rules);

    [Fact]
    public async Task One_endless_line_is_passed_over()
    {
        byte[] block = [.. Enumerable.Repeat((byte)'x', 1 << 16)];
        GeneratedStream stream = new("event,event_id,module,occur_time,reading_hours\n"u8.ToArray(), _ => block, FileBytes);
        await using IEventFile file = await FileForm.OpenAsync(stream, "events.csv", null, EventFileText.Defaults(), null, TestContext.Current.CancellationToken);
        long before = GC.GetTotalMemory(forceFullCollection: true);
        FileRow row = Assert.Single(await file.RowsAsync(TestContext.Current.CancellationToken).ToListAsync(TestContext.Current.CancellationToken));
        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before, long.MinValue, Bound);
        Assert.Contains("longer than", Assert.Single(row.Problems).Rule, StringComparison.Ordinal);
        Assert.True(row.Original.Length < 1_000);
    }

    private static async Task MeasureAsync(string name, string head, Func<int, string> row, string? mapping)
    {
        GeneratedStream stream = new(Encoding.UTF8.GetBytes(head), i => Encoding.UTF8.GetBytes(row(i)), FileBytes);
        Mapping? rules = mapping is null ? null : Mapping.Read(Encoding.UTF8.GetBytes(mapping), "mapping.json");
        await using IEventFile file = await FileForm.OpenAsync(stream, name, null, EventFileText.Defaults(), rules, TestContext.Current.CancellationToken);
        // From the least so far on: what tests before this one left behind may go at any time.
        long least = GC.GetTotalMemory(forceFullCollection: true);
        long most = 0;
        int rows = 0;
        await foreach (FileRow read in file.RowsAsync(TestContext.Current.CancellationToken))
        {
            Assert.True(read.Problems.Count == 0, read.Problems.Count == 0 ? "" : read.Problems[0].ToString());
            Assert.Equal("r" + rows.ToString(CultureInfo.InvariantCulture), read.Events[0].EventId);
            if (++rows % Looked != 0)
                continue;
            long alive = GC.GetTotalMemory(forceFullCollection: true);
            most = Math.Max(most, alive - least);
            least = Math.Min(least, alive);
        }
        Assert.True(rows > 500_000);
        Assert.InRange(most, 0, Bound);
    }
}
