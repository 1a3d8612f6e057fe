using System.Diagnostics;
using System.Globalization;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>
/// Real processes that do wrong: the caller is told why, the plug-in is started again, nothing is left behind. Those that overflow the stack or
/// take memory without bound meet the whole service in the end-to-end tests.
/// </summary>
public sealed class HostileTests
{
    // Enough is long enough for the first answer of a new process on a busy machine; a hang is one after Longest.
    private static readonly TimeSpan Short = TimeSpan.FromSeconds(1), Enough = TimeSpan.FromSeconds(6), Longest = TimeSpan.FromMinutes(2);

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public void One_that_loops_without_end_meets_its_deadline_and_is_started_again()
    {
        using var hosted = new Hosted("loops", s => s with { Deadline = Short }).Up();
        var first = hosted.PlugIn.ProcessId!.Value;
        Assert.Equal("it did not answer within its deadline of 1 s, and was ended.", hosted.Fails());
        Assert.True(hosted.Up().PlugIn.ProcessId != first);
        Assert.False(Lives(first));
        Assert.Equal(2, hosted.PlugIn.Status.Starts);
    }

    [Fact]
    public async Task Who_waits_behind_a_call_without_end_is_answered_by_the_next_process()
    {
        using var hosted = new Hosted("loops-at-13", s => s with { Deadline = Enough }).Up();
        var hanging = Task.Run(() => Assert.Throws<LifeModelFailedException>(() => hosted.LogSurvival(13)).Reason, Token);
        await Task.Delay(Short, Token);
        var others = await Task.WhenAll(Enumerable.Range(1, 4).Select(i => Task.Run(() => hosted.LogSurvival(i), Token)));
        Assert.StartsWith("it did not answer within its deadline", await hanging, StringComparison.Ordinal);
        Assert.All(others, answer => Assert.True(answer < 0));
    }

    [Fact]
    public void A_caller_that_gives_up_is_let_go_at_once_and_what_goes_on_without_it_is_ended()
    {
        using var hosted = new Hosted("ignores-its-caller").Up();
        using var patience = new CancellationTokenSource(Short / 2);
        var options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };
        var sample = new LifeSampleBuilder().AddFailed(100).Build();
        Assert.Throws<OperationCanceledException>(() => hosted.Estimator.Fit(sample, options, patience.Token));
        Assert.True(hosted.LogSurvival(100) < 0);
    }

    [Fact]
    public void One_that_ends_tells_how()
    {
        using var hosted = new Hosted("exits").Up();
        Assert.Equal("its process exited with code 7.", hosted.Fails());
    }

    [Fact]
    public void One_that_exits_at_once_is_unavailable_with_the_reason_and_is_tried_ever_more_seldom()
    {
        using var hosted = new Hosted("exits-at-once");
        Assert.False(hosted.PlugIn.WaitUntilAvailable(2 * Short));
        Assert.Matches("^its plug-in is not running: its process exited with code 3. It is tried again in [0-9]+ s.$", hosted.PlugIn.Status.Reason);
        Assert.Empty(hosted.PlugIn.Families);
        Assert.InRange(hosted.PlugIn.Status.Starts, 1, 6);
    }

    [Fact]
    public void One_that_never_listens_meets_the_deadline_of_its_start()
    {
        using var hosted = new Hosted("never-listens", s => s with { StartDeadline = Short });
        for (var waited = Stopwatch.StartNew(); hosted.PlugIn.Status.Reason?.Contains("did not say what it is within 1 s", StringComparison.Ordinal) != true;)
        {
            Assert.True(waited.Elapsed < Longest, hosted.PlugIn.Status.Reason);
            Thread.Sleep(50);
        }

        Assert.False(hosted.PlugIn.Status.IsAvailable);
    }

    [Theory]
    [InlineData("sends-garbage", "gRPC")]
    [InlineData("says-another-id", "id must be gompertz")]
    public void One_that_answers_the_first_question_wrongly_is_not_taken(string vice, string reason)
    {
        using var hosted = new Hosted(vice);
        for (var waited = Stopwatch.StartNew(); hosted.PlugIn.Status.Reason?.Contains(reason, StringComparison.Ordinal) != true;)
        {
            Assert.True(waited.Elapsed < Longest, hosted.PlugIn.Status.Reason);
            Thread.Sleep(50);
        }

        Assert.Empty(hosted.PlugIn.Families);
    }

    [Theory]
    [InlineData("answers-too-few", "it answered 0 log reliabilities where 1 were asked.")]
    [InlineData("answers-nothing", "it answered another number of batches than were asked.")]
    [InlineData("throws", "it answered with the gRPC status Unknown.")]
    [InlineData("closes-the-socket", "its connection broke, or what it sent was not gRPC.")]
    public void One_that_answers_nonsense_is_told_of(string vice, string reason)
    {
        using var hosted = new Hosted(vice).Up();
        Assert.Equal(reason, hosted.Fails());
        Assert.DoesNotContain(hosted.Log, line => line.Contains("no caller may see", StringComparison.Ordinal) && vice != "throws");
    }

    [Fact]
    public void One_that_floods_its_error_output_is_answered_by_and_told_of_in_few_short_lines_without_data()
    {
        using var hosted = new Hosted("floods").Up();
        Assert.Equal(-0.01 * (Math.Exp(0.1) - 1), hosted.LogSurvival(100), 1e-15);
        var written = hosted.Log.Where(line => line.Contains("wrote:", StringComparison.Ordinal)).ToList();
        Assert.InRange(written.Count, 1, 40);
        Assert.All(written, line => Assert.True(line.Length < 400 && !line.Contains("1234", StringComparison.Ordinal)));
    }

    [Fact]
    public void One_that_floods_a_log_that_fails_is_read_and_answered_by_all_the_same()
    {
        using var hosted = new Hosted("floods", logThrows: true).Up();
        for (var waited = Stopwatch.StartNew(); hosted.Log.Count(line => line.Contains("wrote:", StringComparison.Ordinal)) < 40; Thread.Sleep(10))
            Assert.True(waited.Elapsed < Longest, "It is not read.");
        Assert.Equal(-0.01 * (Math.Exp(0.1) - 1), hosted.LogSurvival(100), 1e-15);
    }

    [Fact]
    public void What_one_caller_ended_is_there_again_for_the_others_at_once_however_often()
    {
        using var hosted = new Hosted("loops-at-13", s => s with { Deadline = Enough });
        const int Times = 2;
        for (var i = 0; i < Times; i++)
        {
            hosted.Up();
            Assert.True(hosted.LogSurvival(1) < 0);
            Assert.Throws<LifeModelFailedException>(() => hosted.LogSurvival(13));
        }

        hosted.Up();
        var waits = hosted.Log.Where(line => line.Contains("is tried again in", StringComparison.Ordinal)).ToList();
        Assert.Equal(Times, waits.Count);
        Assert.All(waits, line => Assert.EndsWith("in 00:00:00.1000000.", line, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("starts-a-child", 2)]
    [InlineData("starts-a-group", 3)]
    public void What_it_started_ends_with_it(string vice, int processes)
    {
        int process;
        using (var hosted = new Hosted(vice).Up())
        {
            process = hosted.PlugIn.ProcessId!.Value;
            for (var waited = Stopwatch.StartNew(); SessionOf(process).Count < processes; Thread.Sleep(10))
                Assert.True(waited.Elapsed < Longest, "It started too little.");
        }

        for (var waited = Stopwatch.StartNew(); SessionOf(process).Count > 0; Thread.Sleep(10))
            Assert.True(waited.Elapsed < Longest, "Something lives on.");
    }

    [Fact]
    public void Callers_of_one_that_is_down_for_longer_than_they_would_wait_are_told_at_once()
    {
        using var hosted = new Hosted("exits", s => s with { Deadline = TimeSpan.FromMilliseconds(10) }).Up();
        var reasons = Enumerable.Range(0, 100).Select(_ => hosted.Fails()).ToList();
        Assert.Contains(reasons, reason => reason.StartsWith("its plug-in is not running: ", StringComparison.Ordinal)
            && reason.EndsWith(" s.", StringComparison.Ordinal));
    }

    private static bool Lives(int process) => Directory.Exists(string.Create(CultureInfo.InvariantCulture, $"/proc/{process}"));

    private static List<string> SessionOf(int leader) =>
    [
        .. Directory.EnumerateDirectories("/proc").Where(folder => char.IsAsciiDigit(Path.GetFileName(folder)[0])).Where(folder =>
        {
            try
            {
                var stat = File.ReadAllText(folder + "/stat");
                var fields = stat[(stat.LastIndexOf(')') + 2)..].Split(' ');
                return fields[0] != "Z" && fields[3] == leader.ToString(CultureInfo.InvariantCulture);
            }
            catch (IOException)
            {
                return false;
            }
        }),
    ];
}
