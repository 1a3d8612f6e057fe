using System.Diagnostics;
using System.Net.Http.Json;
using Reliability.Benchmarks.Harness;
using Reliability.EndToEnd.Running;
using Reliability.V1;

namespace Reliability.Benchmarks.Rebuild;

/// <summary>
/// All lives derived anew from two million events, nearly all of them readings, while a reader and a writer go on. Client, service and
/// PostgreSQL on the same machine.
/// </summary>
internal sealed class RebuildSubject : ISubject
{
    private const string Fleet = "rebuilt-", Written = "written-";
    private const int Modules = 10_000, Days = 198, DaysAtATime = 10, WrittenModules = 10, Callers = 4, BatchLength = 1_000;
    private const int Events = Modules * (Days + 2);

    private static readonly TimeSpan Calm = TimeSpan.FromSeconds(20), ReadPace = TimeSpan.FromMilliseconds(20), WritePace = TimeSpan.FromMilliseconds(20);

    public string Name => "rebuild";

    public string Description => "all lives derived anew, with a reader and a writer beside";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        await using var service = await RunningService.StartAsync(cancellationToken);
        service.Clients.Http.Timeout = Timeout.InfiniteTimeSpan;
        var seconds = await SeedAsync(service, cancellationToken);
        report(new Figure($"{Events:N0} events of {Modules:N0} modules posted, lives up to date", Events / seconds, "events/s"));
        var before = await LivesTable.DigestAsync(await service.ConnectionStringAsync(), Written);

        var (reader, writer) = (Reader(service, cancellationToken), Writer(service, 0, cancellationToken));
        await Task.Delay(Calm, cancellationToken);
        Report(report, "before", await reader.StopAsync(), await writer.StopAsync());

        (reader, writer) = (Reader(service, cancellationToken), Writer(service, 1, cancellationToken));
        using var answer = await service.Clients.Http.PostAsync(new Uri("/maintenance/rebuild", UriKind.Relative), null, cancellationToken);
        answer.EnsureSuccessStatusCode();
        var done = (await answer.Content.ReadFromJsonAsync<Done>(cancellationToken))!;
        Report(report, "during the rebuild", await reader.StopAsync(), await writer.StopAsync());
        report(new Figure("rebuilt: modules", done.Modules / done.Seconds, "modules/s"));
        report(new Figure("rebuilt: events of their records", Events / done.Seconds, "events/s"));
        report(new Figure("rebuilt: time for all", done.Seconds, "s"));

        var after = await LivesTable.DigestAsync(await service.ConnectionStringAsync(), Written);
        report(new Figure($"rows of {after.Lives:N0} lives that are the same to the byte (1 is all)", before == after ? 1 : 0, "", Target.Least(1)));
    }

    /// <summary>Posts the fleet and waits until its lives are up to date.</summary>
    private static async Task<double> SeedAsync(RunningService service, CancellationToken cancellationToken)
    {
        var start = Stopwatch.GetTimestamp();
        await service.PostAsync([.. ReadFleet.Installs(Written, WrittenModules)], Callers, cancellationToken, BatchLength);
        await service.PostAsync([.. ReadFleet.Installs(Fleet, Modules)], Callers, cancellationToken, BatchLength);
        for (var day = 1; day <= Days; day += DaysAtATime)
        {
            var days = Math.Min(DaysAtATime, Days - day + 1);
            await service.PostAsync([.. ReadFleet.Readings(Fleet, Modules, day, days)], Callers, cancellationToken, BatchLength);
        }

        var (revision, _) = await service.PostAsync([ReadFleet.Reading(Written, 0, 1)], callers: 1, cancellationToken);
        while (true)
        {
            try
            {
                await service.Clients.History.GetModuleAsync(
                    new GetModuleRequest { Name = $"modules/{Written}0", MinimumRevision = revision }, cancellationToken: cancellationToken);
                return Stopwatch.GetElapsedTime(start).TotalSeconds;
            }
            catch (Grpc.Core.RpcException exception) when (exception.StatusCode == Grpc.Core.StatusCode.Unavailable)
            {
                // Not within half a minute; it goes on.
            }
        }
    }

    private static Caller Reader(RunningService service, CancellationToken cancellationToken) => Caller.Start(
        n => service.Clients.History.GetModuleAsync(
            new GetModuleRequest { Name = $"modules/{Fleet}{n * 37 % Modules}" }, cancellationToken: cancellationToken).ResponseAsync,
        ReadPace);

    // Each writer has days of its own, so that every post is new.
    private static Caller Writer(RunningService service, int which, CancellationToken cancellationToken) => Caller.Start(
        n => service.PostAsync(
            [ReadFleet.Reading(Written, n % WrittenModules, 2 + which + (n / WrittenModules * 2))], callers: 1, cancellationToken),
        WritePace);

    private static void Report(
        Action<Figure> report, string when, (int Calls, double Median, double Longest) reads, (int Calls, double Median, double Longest) writes)
    {
        report(new Figure($"one module read, {when}: median of {reads.Calls:N0}", reads.Median, "ms"));
        report(new Figure($"one module read, {when}: longest", reads.Longest, "ms"));
        report(new Figure($"one event posted, {when}: median of {writes.Calls:N0}", writes.Median, "ms"));
        report(new Figure($"one event posted, {when}: longest", writes.Longest, "ms"));
    }

    private sealed record Done(long Modules, double Seconds);
}
