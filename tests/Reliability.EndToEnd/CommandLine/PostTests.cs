using System.Text.Json;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.CommandLine;

/// <summary>Files posted by the command line to a real service; the network is invented.</summary>
public sealed class PostTests(SharedService shared) : IDisposable
{
    private const string Header =
        "# Invented data of Brindlemoor Health.\n"
        + "module_model,serial_number,site,start_date,end_date,age_at_end,age_last_working,failure_moment,outcome,removal_reason,in_service\n";

    private readonly string _folder = TemporaryFolder.Create();

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_sheet_with_bad_rows_is_posted_put_right_and_posted_again()
    {
        var model = Write("model.json", """{"name": "moduleModels/cli-post-lamp", "displayName": "Lamp of the command line's test"}""");
        Assert.Equal(0, (await Run("models", "create", model)).ExitCode);
        var sheet = Write("lives.csv", Header
            + "cli-post-lamp,CLI-POST-1,Quennick General,2024-01-05,2024-06-20,1510,,yes,failed,failed,no\n"
            + "cli-post-lamp,CLI-POST-2,Quennick General,2024-01-05,2024-06-20,many,,,survived,,yes\n"
            + "cli-post-lamp,CLI-POST-3,Quennick General,2024-01-05,2024-06-20,-40,,,survived,,yes\n"
            + "cli-post-lamp,CLI-POST-4,Quennick General,2024-01-05,2024-06-20,1700,1650,no,failed,low output,no\n");

        var (exitCode, tally) = await Post(sheet);
        Assert.Equal(1, exitCode);
        Assert.Equal((4, 2, 0, 2), Counts(tally));
        var refusals = tally.GetProperty("refusalFile").GetString()!;
        var refused = await File.ReadAllLinesAsync(refusals, TestContext.Current.CancellationToken);
        Assert.Equal(3, refused.Length);
        Assert.Contains(refused, line => line.StartsWith("4,\"age_at_end: ", StringComparison.Ordinal));
        Assert.Contains(refused, line => line.StartsWith("5,\"life_reported.age_at_end: must be", StringComparison.Ordinal));

        var corrected = Write("corrected.csv", string.Join('\n', refused)
            .Replace(",many,", ",900,", StringComparison.Ordinal).Replace(",-40,", ",40,", StringComparison.Ordinal));
        (exitCode, tally) = await Post(corrected);
        Assert.Equal(0, exitCode);
        Assert.Equal((2, 2, 0, 0), Counts(tally));
        Assert.Equal(JsonValueKind.Null, tally.GetProperty("refusalFile").ValueKind);

        // The lives are there once the revision of the post is taken in, in words, whatever was refused on the way.
        var lives = await Run("lives", "--model", "cli-post-lamp", "--minimum-revision", tally.GetProperty("revision").GetString()!);
        Assert.Equal(0, lives.ExitCode);
        foreach (var outcome in (string[])["failed at 1,510 h", "survived 900 h", "survived 40 h", "failed between 1,650 h and 1,700 h"])
            Assert.Contains(outcome, lives.Out, StringComparison.Ordinal);

        // Gone on with by posting again: what is there is not recorded twice.
        (exitCode, tally) = await Post(sheet);
        Assert.Equal((4, 0, 2, 2), Counts(tally));
        Assert.Equal(1, exitCode);
    }

    [Fact]
    public async Task A_file_of_events_becomes_a_record_that_names_no_person()
    {
        var events = Write("events.csv",
            "event_id,module,event,occur_time,module_model,serial_number,age_hours,reading_hours,host_device,note,actor_id\n"
            + "r,cli-record-lamp,registered,2024-01-05,cli-record-model,CLI-REC-1,0,0,,,\n"
            + "i,cli-record-lamp,installed,2024-01-06,,,,0,cot-7,,\n"
            + "h,cli-record-lamp,run hours read,2024-02-06,,,,310,,seen by the night shift,actor-17\n");
        var post = await Run("post", events, "--source", "cli-record-test", "--zone", "Europe/London");
        Assert.Equal(0, post.ExitCode);
        Assert.Contains("UNKNOWN", post.Out.ToUpperInvariant(), StringComparison.Ordinal);

        var record = await Run("module", "modules/cli-record-lamp");
        Assert.Equal(0, record.ExitCode);
        Assert.Contains("2024-02-06", record.Out, StringComparison.Ordinal);
        Assert.Contains("310 h", record.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("night shift", record.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("actor-17", record.Out, StringComparison.Ordinal);
        Assert.Contains("310", (await Run("module", "serial:CLI-REC-1")).Out, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("wrong.csv", "some,other,columns\n1,2,3\n", "line 1: the header does not fit")]
    [InlineData("letter.csv", "Dear colleagues,\nplease find the readings attached.\n", "line 1: the header does not fit")]
    [InlineData("empty.jsonl", "", "the file is empty")]
    [InlineData("binary.csv", "PK\u0003\u0004\u0000\u0000", "the file is binary, not text")]
    public async Task A_file_that_is_none_is_refused_as_a_whole(string name, string content, string expected)
    {
        var refusal = await Run("post", Write(name, content), "--source", "cli-test");
        Assert.Equal(2, refusal.ExitCode);
        Assert.Contains(expected, refusal.Error, StringComparison.Ordinal);
        Assert.Equal("", refusal.Out);
    }

    private static (int Rows, int Recorded, int AlreadyThere, int Refused) Counts(JsonElement tally) => (
        tally.GetProperty("rows").GetInt32(), tally.GetProperty("recorded").GetInt32(),
        tally.GetProperty("alreadyThere").GetInt32(), tally.GetProperty("refused").GetInt32());

    private async Task<(int ExitCode, JsonElement Tally)> Post(string file)
    {
        var post = await Run("post", file, "--source", "cli-post-test", "--complete-from", "2024-01-01", "--json");
        Assert.True(post.Error.Length == 0, post.Error);
        return (post.ExitCode, JsonDocument.Parse(post.Out).RootElement.GetProperty("files")[0]);
    }

    private Task<(int ExitCode, string Out, string Error)> Run(params string[] arguments) => CommandLineProcess.RunAsync(shared.Service.GrpcAddress, arguments);

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
