using System.Globalization;
using Reliability.Benchmarks.Harness;

namespace Reliability.Benchmarks.Ingest;

/// <summary>
/// Events posted over gRPC: the client (this process), the service and PostgreSQL are three processes on the same cores.
/// Every event is checked for being there already, receipts come after the commit, the projections run. Rates are given as
/// parts of the limit, measured in turn with them: plain COPY into a keyed table.
/// </summary>
/// <param name="quick">One round over a twentieth of the ids: to see that it runs, not to be quoted.</param>
/// <param name="livesOnly">
/// The rounds alone, without what lives have no part in, then one load more when each record holds some hundred readings.
/// </param>
internal sealed class IngestSubject(bool quick, bool livesOnly) : ISubject
{
    private const int Modules = 20_000, ReadingsEach = 10, Callers = 32, PacedPerSecond = 500, LongRecords = 200;
    private const double CleanShare = 1 / 3d;

    private readonly int _rounds = quick ? 1 : 3;
    // 1,500,000 readings, which come for half a minute: lives are put off for 5 seconds behind a load.
    private readonly int _longEach = quick ? 0 : 75;
    private readonly int _seededIds = quick ? 500_000 : 10_000_000;

    public string Name => "ingest";

    public string Description => "events a second posted and stored, as parts of plain COPY; receipts, lives, bytes";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        Machine(report, "at the start");
        await using var service = await RunningService.StartAsync(cancellationToken);
        await using var database = await service.DatabaseAsync();
        var run = new IngestRun(service, database, new Fleet(Modules), report);
        await run.OpenAsync(cancellationToken);
        if (livesOnly)
        {
            await LivesAsync(run, cancellationToken);
            return;
        }

        for (var round = 1; round <= _rounds; round++)
            await RoundAsync(run, cancellationToken);
        if (_longEach > 0)
            await run.PostLongAsync("readings, spread, a long load", 0.45, _longEach, cancellationToken);
        run.ReportRates();
        await CallsAsync(run, report, cancellationToken);
        await ManyIdsAsync(run, report, cancellationToken);
        Machine(report, "at the end");
    }

    private static async Task RoundAsync(IngestRun run, CancellationToken cancellationToken)
    {
        await run.CopyAsync(Modules * ReadingsEach, Modules, cancellationToken);
        var spread = run.Fleet.SpreadReadings(ReadingsEach);
        await run.PostAsync("readings, spread", 0.45, spread, 100, cancellationToken, measured: true);
        await run.PostAsync("readings, grouped by module", 0.45, run.Fleet.GroupedReadings(ReadingsEach), 100, cancellationToken);
        await run.PostAsync("readings posted again, all known", 0.7, spread, 100, cancellationToken, again: true);
        await run.CopyAsync(Modules * ReadingsEach, Modules, cancellationToken);
        await run.PostAsync("readings, one a message", 0.30, run.Fleet.SpreadReadings(ReadingsEach / 2), 1, cancellationToken);
        await run.PostAsync("other kinds, grouped by module", 0.12, run.Fleet.GroupedOthers(4_000, 10), 100, cancellationToken);
        await run.PostAsync("other kinds, spread", 0.06, run.Fleet.SpreadOthers(4_000, 5), 100, cancellationToken);
        await run.PostCorrectedAsync(run.Fleet.ReadingsWithCorrections(ReadingsEach / 2), CleanShare, cancellationToken);
    }

    private async Task LivesAsync(IngestRun run, CancellationToken cancellationToken)
    {
        for (var round = 1; round <= _rounds; round++)
        {
            await run.PostAsync("readings, spread", 0, run.Fleet.SpreadReadings(ReadingsEach), 100, cancellationToken, measured: true);
            if (round == _rounds)
                break;
            await run.PostAsync("readings, grouped by module", 0, run.Fleet.GroupedReadings(ReadingsEach), 100, cancellationToken);
            await run.PostAsync("other kinds, grouped by module", 0, run.Fleet.GroupedOthers(4_000, 10), 100, cancellationToken);
            await run.PostAsync("other kinds, spread", 0, run.Fleet.SpreadOthers(4_000, 5), 100, cancellationToken);
            await run.PostCorrectedAsync(run.Fleet.ReadingsWithCorrections(ReadingsEach / 2), 0, cancellationToken);
        }

        run.ReportLives("");
        await run.PostLongAsync($"{LongRecords} readings more a module", 0, LongRecords, cancellationToken);
        await run.PostAsync("readings, spread", 0, run.Fleet.SpreadReadings(ReadingsEach), 100, cancellationToken, measured: true);
        run.ReportLives(", long records");
    }

    private static async Task CallsAsync(IngestRun run, Action<Figure> report, CancellationToken cancellationToken)
    {
        // What runs for the first time is slow.
        await run.Loads.CallAsync(run.Fleet.SpreadReadings(1)[..2_000], Callers, cancellationToken);
        var (rate, milliseconds) = await run.Loads.CallAsync(run.Fleet.SpreadReadings(1)[..15_000], Callers, cancellationToken);
        await run.LivesFollowAsync(cancellationToken);
        report(new Figure($"one event a call, {Callers} callers", rate, "events/s", Target.Least(2_000)));
        report(new Figure("  its receipts, p50", Quantile(milliseconds, 0.50), "ms"));
        report(new Figure("  its receipts, p99", Quantile(milliseconds, 0.99), "ms", Target.Most(60)));

        await run.Loads.PacedAsync(run.Fleet.SpreadReadings(1)[..(PacedPerSecond * 2)], PacedPerSecond, cancellationToken);
        milliseconds = await run.Loads.PacedAsync(
            run.Fleet.SpreadReadings(1)[..(PacedPerSecond * 10)], PacedPerSecond, cancellationToken);
        report(new Figure($"a stream at {PacedPerSecond} events/s: receipts, p50", Quantile(milliseconds, 0.50), "ms"));
        report(new Figure($"a stream at {PacedPerSecond} events/s: receipts, p99", Quantile(milliseconds, 0.99), "ms", Target.Most(50)));
    }

    private async Task ManyIdsAsync(IngestRun run, Action<Figure> report, CancellationToken cancellationToken)
    {
        report(new Figure($"{_seededIds:N0} further ids seeded", await run.SeedAsync(_seededIds, cancellationToken), "s"));
        var name = string.Create(CultureInfo.InvariantCulture, $"readings, spread, {_seededIds:N0} ids there already");
        for (var round = 1; round <= _rounds; round++)
        {
            await run.CopyAsync(Modules * ReadingsEach, Modules, cancellationToken);
            await run.PostAsync(name, 0.30, run.Fleet.SpreadReadings(ReadingsEach), 100, cancellationToken);
        }

        run.ReportRates();
    }

    private static double Quantile(double[] values, double fraction)
    {
        Array.Sort(values);
        return values[(int)Math.Ceiling(fraction * values.Length) - 1];
    }

    private static void Machine(Action<Figure> report, string when)
    {
        report(new Figure($"cores {when}", Environment.ProcessorCount, "cores"));
        if (File.Exists("/proc/loadavg"))
        {
            var load = File.ReadAllText("/proc/loadavg").Split(' ')[0];
            report(new Figure($"load average of a minute {when}", double.Parse(load, CultureInfo.InvariantCulture), "processes"));
        }
    }
}
