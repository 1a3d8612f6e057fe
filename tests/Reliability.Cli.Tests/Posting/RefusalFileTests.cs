using System.Text.Json;
using Reliability.Cli.Posting;
using Reliability.Cli.Tests.Files;
using Reliability.Files.EventFiles;
using Xunit;

namespace Reliability.Cli.Tests.Posting;

public sealed class RefusalFileTests : IDisposable
{
    private const string Sheet = "module,event,occur_time,reading_hours\n\"lamp,1\",run_hours_read,2024-03-05,seven\nlamp-2,run_hours_read,2024-03-05,\"8\nlamp-3,run_hours_read,2024-03-05,9\n";

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_refused_sheet_has_line_reason_and_row_and_can_be_posted_once_put_right()
    {
        string path = _folder.Write("events.csv", Sheet);
        string refused = await RefuseAsync(path, "too \"late\", they said");
        Assert.Equal(path + ".refused.csv", refused);
        string[] lines = File.ReadAllLines(refused);
        Assert.Equal("refused_line,refused_reason,module,event,occur_time,reading_hours", lines[0]);
        Assert.Equal("2,\"reading_hours: \"\"seven\"\" is not a number\",\"lamp,1\",run_hours_read,2024-03-05,seven", lines[1]);
        Assert.StartsWith("3,\"a quotation mark", lines[2], StringComparison.Ordinal);
        Assert.Equal("4,\"too \"\"late\"\", they said\",lamp-3,run_hours_read,2024-03-05,9", lines[3]);

        string corrected = File.ReadAllText(refused).Replace(",seven", ",7", StringComparison.Ordinal).Replace(",\"8\n", ",8\n", StringComparison.Ordinal);
        List<FileRow> rows = await ReadAsync("corrected.csv", corrected);
        Assert.All(rows, row => Assert.Empty(row.Problems));
        Assert.Equal([7d, 8, 9], rows.Select(row => row.Events[0].RunHoursRead.Readings[0].Hours));
        // The row that was right has the id it had in the first file.
        Assert.Equal((await ReadAsync("again.csv", Sheet))[2].Events[0].EventId, rows[2].Events[0].EventId);
    }

    [Fact]
    public async Task Refused_lines_of_json_are_kept_as_text()
    {
        string refused = await RefuseAsync(_folder.Write("events.jsonl", "{ broken \"\n{}\n"), "no é");
        Assert.EndsWith("events.jsonl.refused.jsonl", refused, StringComparison.Ordinal);
        string[] lines = File.ReadAllLines(refused);
        JsonElement first = JsonDocument.Parse(lines[0]).RootElement;
        Assert.Equal(1, first.GetProperty("line").GetInt32());
        Assert.Equal("{ broken \"", first.GetProperty("row").GetString());
        Assert.Equal("""{"line":2,"reason":"no é","row":"{}"}""", lines[1]);
        // Posted itself, the file stands for the rows in it.
        List<FileRow> rows = await ReadAsync("again.jsonl", string.Join('\n', lines));
        Assert.Single(rows[0].Problems);
        Assert.Empty(rows[1].Problems);
    }

    [Fact]
    public async Task Refusals_of_an_earlier_post_go_away_when_nothing_is_refused()
    {
        string path = _folder.Write("events.csv", Sheet);
        string refused = await RefuseAsync(path, "no");
        using (new RefusalFile(path, RefusalLayout.Sheet("module")))
            Assert.False(File.Exists(refused));
    }

    private static async Task<string> RefuseAsync(string path, string reason)
    {
        await using PostFile file = await OpenAsync(path);
        using RefusalFile refusals = new(path, file.Events.Refusals);
        await foreach (FileRow row in file.Events.RowsAsync(TestContext.Current.CancellationToken))
            refusals.Add(row, row.Problems.Count > 0 ? row.Problems[0].ToString() : reason);
        return refusals.Path;
    }

    private async Task<List<FileRow>> ReadAsync(string name, string text)
    {
        await using PostFile file = await OpenAsync(_folder.Write(name, text));
        return await file.Events.RowsAsync(TestContext.Current.CancellationToken).ToListAsync(TestContext.Current.CancellationToken);
    }

    private static Task<PostFile> OpenAsync(string path) =>
        PostFile.OpenAsync(path, null, FileDefaults.None with { Source = "quennick-maintenance" }, mapping: null, TestContext.Current.CancellationToken);
}
