using System.Diagnostics;
using Reliability.Benchmarks.Harness;
using Reliability.V1;

namespace Reliability.Benchmarks.Ingest;

/// <summary>
/// Events posted over gRPC: client, service and PostgreSQL on the same machine, every event checked for being there already,
/// receipts after the commit.
/// </summary>
internal sealed class IngestSubject : ISubject
{
    private const int Modules = 2_000, SingleModules = 200, SingleCallers = 32;

    public string Name => "ingest";

    public string Description => "events a second posted and stored, lives up to date";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        await using var service = await RunningService.StartAsync(cancellationToken);
        // Not counted: what runs for the first time is slow.
        await service.PostAsync(SimulatedFleet.Events(200, seed: 1), callers: 2, cancellationToken);

        var grouped = SimulatedFleet.Events(Modules, seed: 2);
        var (_, seconds) = await service.PostAsync(grouped, callers: 2, cancellationToken);
        report(new Figure($"{grouped.Count:N0} events, 500 a call, module by module", grouped.Count / seconds, "events/s"));
        await ReportLivesAsync(service, seed: 102, report, cancellationToken);

        var again = await service.PostAsync(grouped, callers: 2, cancellationToken);
        report(new Figure("the same posted again, all known", grouped.Count / again.Seconds, "events/s"));

        var spread = SimulatedFleet.Events(Modules, seed: 3).OrderBy(posted => posted.OccurTime).ToList();
        (_, seconds) = await service.PostAsync(spread, callers: 2, cancellationToken);
        report(new Figure($"{spread.Count:N0} events, 500 a call, in order of time", spread.Count / seconds, "events/s"));
        await ReportLivesAsync(service, seed: 103, report, cancellationToken);

        var single = SimulatedFleet.Events(SingleModules, seed: 4);
        (_, seconds) = await service.PostAsync(single, SingleCallers, cancellationToken, batchLength: 1);
        report(new Figure($"{single.Count:N0} events, one a call, {SingleCallers} callers", single.Count / seconds, "events/s"));
    }

    // With callers side by side the last receipt need not hold the last event, so one more event marks the end.
    private static async Task ReportLivesAsync(RunningService service, int seed, Action<Figure> report, CancellationToken cancellationToken)
    {
        var marker = SimulatedFleet.Events(1, seed).Take(1).ToList();
        var (revision, _) = await service.PostAsync(marker, callers: 1, cancellationToken);
        var start = Stopwatch.GetTimestamp();
        await service.Clients.History.GetModuleAsync(
            new GetModuleRequest { Name = marker[0].Module, MinimumRevision = revision }, cancellationToken: cancellationToken);
        report(new Figure("  its lives up to date after the last receipt", Stopwatch.GetElapsedTime(start).TotalSeconds, "s"));
    }
}
