using System.Globalization;
using System.Text.Json;
using Reliability.EndToEnd.Records;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.CommandLine;

/// <summary>Corrections by the command line, and answers as they were before them.</summary>
public sealed class CorrectionCommandTests(SharedService shared) : IDisposable
{
    private readonly string _folder = TemporaryFolder.Create();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_wrong_event_is_replaced_retracted_and_both_are_taken_back()
    {
        const string Source = "cli-wrong";
        await PostedFleet.PostAsync(shared.Clients, Source);
        string[] wrong = ["cli-wrong-live", Source, "modules/cli-wrong-live-4"];
        Assert.Equal(905, await AgeAsync(wrong[0]));

        var replaced = await RunAsync(["replace", .. wrong, "--with", """{"occurTime": "2024-04-01T00:00:00Z", "runHoursRead": {"readings": [{"hours": 850}]}}""", "--event-id", "right", "--at", "2024-05-01T00:00:00Z"]);
        Assert.Equal((0, ""), (replaced.ExitCode, replaced.Error));
        Assert.StartsWith("Recorded as cli-wrong right.", replaced.Out, StringComparison.Ordinal);
        Assert.Equal(850, await AgeAsync(wrong[0]));
        // The same again, named by the same id, is there already.
        var again = await RunAsync(["replace", .. wrong, "--with", """{"occurTime": "2024-04-01T00:00:00Z", "runHoursRead": {"readings": [{"hours": 850}]}}""", "--event-id", "right", "--at", "2024-05-01T00:00:00Z"]);
        Assert.StartsWith("Was recorded already as cli-wrong right.", again.Out, StringComparison.Ordinal);

        var record = await RunAsync(["module", wrong[0]]);
        Assert.Contains("replaced", record.Out, StringComparison.Ordinal);
        Assert.Contains("850 h", record.Out, StringComparison.Ordinal);

        Assert.Equal(0, (await RunAsync(["retract", wrong[0], Source, "right"])).ExitCode);
        Assert.Equal(905, await AgeAsync(wrong[0]));
        Assert.Equal(0, (await RunAsync(["retract", .. wrong])).ExitCode);
        Assert.Equal(600, await AgeAsync(wrong[0]));
    }

    [Fact]
    public async Task A_watch_with_a_limit_goes_on_where_it_ended()
    {
        await PostedFleet.PostAsync(shared.Clients, "cli-watch");
        string[] of = ["--module", "cli-watch-live"];
        var whole = Lines((await RunAsync(["watch", "--from-start", .. of, "--limit", "5"])).Out);
        List<string> seen = [];
        var after = "--from-start";
        while (seen.Count < whole.Count)
        {
            var (exitCode, said, hint) = await RunAsync(["watch", .. after.Split(' '), .. of, "--limit", "1"]);
            Assert.Equal(0, exitCode);
            seen.AddRange(Lines(said));
            var goOn = hint.Split(" --after ");
            Assert.Equal("Go on with: reliability watch", goOn[0]);
            Assert.EndsWith(" --module cli-watch-live", hint.TrimEnd(), StringComparison.Ordinal);
            after = "--after " + goOn[1].Split(' ')[0];
        }

        Assert.Equal(whole, seen);

        static List<string> Lines(string text) => [.. text.Split('\n', StringSplitOptions.RemoveEmptyEntries)];
    }

    [Fact]
    public async Task What_is_no_correction_is_said_so()
    {
        await PostedFleet.PostAsync(shared.Clients, "cli-none");
        var json = await RunAsync(["replace", "cli-none-live", "cli-none", "x", "--with", "{\"occurTime\": 7"]);
        Assert.Equal(2, json.ExitCode);
        Assert.StartsWith("--with: not an event in JSON", json.Error, StringComparison.Ordinal);
        var empty = await RunAsync(["replace", "cli-none-live", "cli-none", "x", "--with", "{}"]);
        Assert.Equal(1, empty.ExitCode);
        Assert.Contains("replaced.event", empty.Error, StringComparison.Ordinal);

        // Nobody has posted it, or somebody has of another module: it does not count yet.
        foreach (var target in (string[])["never-posted", "modules/cli-none-0-f"])
        {
            var waiting = await RunAsync(["retract", "cli-none-live", "cli-none", target]);
            Assert.Equal(0, waiting.ExitCode);
            Assert.Contains("It does not count yet: TARGET_MISSING.", waiting.Out, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task A_sheet_of_corrections_puts_events_right()
    {
        await PostedFleet.PostAsync(shared.Clients, "cli-sheet");
        var sheet = Path.Combine(_folder, "corrections.csv");
        await File.WriteAllTextAsync(
            sheet,
            "event_id,module,event,occur_time,target_source,target_event_id,right_event,right_time,reading_hours\n"
            + "c1,cli-sheet-live,replaced,2024-05-01,cli-sheet,modules/cli-sheet-live-4,run_hours_read,2024-04-01T00:00Z,777\n",
            Cancellation);
        var posted = await RunAsync(["post", sheet, "--source", "cli-sheet", "--zone", "Europe/London"]);
        Assert.Equal((0, ""), (posted.ExitCode, posted.Error));
        Assert.Equal(777, await AgeAsync("cli-sheet-live"));
    }

    [Fact]
    public async Task Questions_as_of_a_record_time_have_the_answers_of_then()
    {
        const string Source = "cli-then";
        var revision = await PostedFleet.PostAsync(shared.Clients, Source);
        var record = await shared.Clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = "modules/cli-then-live" }, cancellationToken: Cancellation);
        var then = record.Events.Select(recorded => recorded.RecordTime).Max()!.ToDateTime().ToString("yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'", CultureInfo.InvariantCulture);
        var lives = await RunAsync(["lives", "--model", Source, "--minimum-revision", revision]);
        var fit = Fit(await RunAsync(["fit", "--model", Source, "--seed", "7", "--json"]));

        Assert.Equal(0, (await RunAsync(["retract", "cli-then-0", Source, "modules/cli-then-0-f"])).ExitCode);
        Assert.Equal(0, (await RunAsync(["retract", "cli-then-0", Source, "modules/cli-then-0-r"])).ExitCode);
        var more = await RunAsync(["replace", "cli-then-live", Source, "modules/cli-then-live-4", "--with", """{"occurTime": "2024-04-01T00:00:00Z", "runHoursRead": {"readings": [{"hours": 850}]}}"""]);
        var corrected = more.Out.Split('\n').Single(line => line.StartsWith("Revision: ", StringComparison.Ordinal))[10..].Trim();

        // Now they are others.
        Assert.NotEqual(lives.Out, (await RunAsync(["lives", "--model", Source, "--minimum-revision", corrected])).Out);
        Assert.NotEqual(fit, Fit(await RunAsync(["fit", "--model", Source, "--seed", "7", "--json"])));
        Assert.Contains("850 h", (await RunAsync(["module", "cli-then-live"])).Out, StringComparison.Ordinal);

        Assert.Equal(lives.Out, (await RunAsync(["lives", "--model", Source, "--as-of-record-time", then])).Out);
        Assert.Equal(fit, Fit(await RunAsync(["fit", "--model", Source, "--seed", "7", "--as-of-record-time", then, "--json"])));
        var module = await RunAsync(["module", "cli-then-live", "--as-of-record-time", then]);
        Assert.Contains("905 h", module.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("850 h", module.Out, StringComparison.Ordinal);

        var wrong = await RunAsync(["module", "cli-then-live", "--as-of-record-time", "yesterday"]);
        Assert.Equal(2, wrong.ExitCode);
        Assert.StartsWith("--as-of-record-time: ", wrong.Error, StringComparison.Ordinal);
        var future = await RunAsync(["module", "cli-then-live", "--as-of-record-time", "2999-01-01"]);
        Assert.Equal(1, future.ExitCode);
        Assert.Contains("as_of_record_time", future.Error, StringComparison.Ordinal);
    }

    private static string Fit((int ExitCode, string Out, string Error) asked)
    {
        Assert.Equal((0, ""), (asked.ExitCode, asked.Error));
        return JsonDocument.Parse(asked.Out).RootElement.GetProperty("fit").GetRawText();
    }

    private async Task<double> AgeAsync(string module) => (await shared.Clients.History.GetModuleAsync(
        new GetModuleRequest { Name = "modules/" + module }, cancellationToken: Cancellation)).Age.LowerHours;

    private Task<(int ExitCode, string Out, string Error)> RunAsync(string[] arguments) =>
        CommandLineProcess.RunAsync(shared.Service.GrpcAddress, arguments);
}
