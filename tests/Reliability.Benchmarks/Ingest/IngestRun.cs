using System.Diagnostics;
using Npgsql;
using Reliability.Benchmarks.Harness;
using Reliability.V1;

namespace Reliability.Benchmarks.Ingest;

/// <summary>One service under load: its rates are collected in rounds and reported as medians beside the limit.</summary>
internal sealed class IngestRun(RunningService service, NpgsqlDataSource database, Fleet fleet, Action<Figure> report)
{
    private readonly CopyLimit _copy = new(database);
    private readonly Disk _disk = new(database);
    private readonly Processors _processors = new(service, database);
    private readonly List<double> _copied = [], _clean = [], _corrected = [], _livesSeconds = [], _bytes = [], _derivedBytes = [];
    private readonly List<double> _cleanWithLives = [], _correctedWithLives = [];
    private readonly List<(double Client, double Service, double Postgres)> _posting = [], _following = [];
    private readonly Dictionary<string, (double Target, List<double> Rates)> _posted = [];
    private double _cleanShare;

    public Fleet Fleet => fleet;

    public Loads Loads { get; } = new(service.Clients.History);

    /// <summary>Makes the modules known, and warms up what runs for the first time.</summary>
    public async Task OpenAsync(CancellationToken cancellationToken)
    {
        await _copy.PrepareAsync(cancellationToken);
        var start = Stopwatch.GetTimestamp();
        await Loads.StreamAsync([.. fleet.Opening()], 100, known: false, cancellationToken);
        await Loads.StreamAsync(fleet.SpreadReadings(2), 1, known: false, cancellationToken);
        var (_, revisions) = await Loads.StreamAsync(fleet.SpreadReadings(3), 100, known: false, cancellationToken);
        await Loads.LivesSecondsAsync(revisions, cancellationToken);
        report(new Figure("modules made known and warmed up", Stopwatch.GetElapsedTime(start).TotalSeconds, "s"));
    }

    /// <summary>Measures the limit once.</summary>
    public async Task CopyAsync(int rows, int modules, CancellationToken cancellationToken) =>
        _copied.Add(await _copy.RateAsync(rows, modules, cancellationToken));

    /// <summary>Posts a load once, and waits until the lives have followed: each load pays for its own.</summary>
    /// <param name="name">What is posted.</param>
    /// <param name="target">The part of the limit to be reached.</param>
    /// <param name="events">The events.</param>
    /// <param name="eventsPerMessage">How many go into a message.</param>
    /// <param name="cancellationToken">Ends it.</param>
    /// <param name="again">Whether all are there already.</param>
    /// <param name="measured">Whether bytes and the delay of the lives are measured too.</param>
    public async Task PostAsync(
        string name, double target, List<ModuleEvent> events, int eventsPerMessage, CancellationToken cancellationToken,
        bool again = false, bool measured = false)
    {
        var before = measured ? await _disk.SizesAsync(cancellationToken) : null;
        var taken = await _processors.TakenAsync(cancellationToken);
        var (rate, revisions) = await Loads.StreamAsync(events, eventsPerMessage, again, cancellationToken);
        if (!_posted.TryGetValue(name, out var known))
            _posted.Add(name, known = (target, []));
        known.Rates.Add(rate);
        var posted = await _processors.TakenAsync(cancellationToken);
        var seconds = again ? 0 : await Loads.LivesSecondsAsync(revisions, cancellationToken);
        if (before is null)
            return;
        _clean.Add(rate);
        _cleanWithLives.Add(events.Count / ((events.Count / rate) + seconds));
        _posting.Add(Processors.EachSince(taken, posted, events.Count));
        _following.Add(Processors.EachSince(posted, await _processors.TakenAsync(cancellationToken), events.Count));
        _livesSeconds.Add(seconds);
        var after = await _disk.SizesAsync(cancellationToken);
        _bytes.Add((after.LogAndIds - before.LogAndIds) / events.Count);
        _derivedBytes.Add((after.Derived - before.Derived) / events.Count);
    }

    /// <summary>
    /// Posts a load that is long enough for the lives to be derived while it comes, a reading made when it is taken, and counts
    /// how often they were between its first and its last receipt.
    /// </summary>
    public async Task PostLongAsync(string name, double target, int each, CancellationToken cancellationToken)
    {
        var count = each * fleet.Modules;
        using var over = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var steps = Loads.DerivationsAsync(over.Token);
        var (rate, revisions) = await Loads.StreamAsync(fleet.SpreadReadingsAsTaken(each), count, 100, known: false, cancellationToken);
        await over.CancelAsync();
        var seconds = await Loads.LivesSecondsAsync(revisions, cancellationToken);
        _posted.Add(name, (target, [rate]));
        report(new Figure($"{name}: derivations while it came", await steps, "times", Target.Least(2)));
        report(new Figure("  lives up to date after its last receipt", seconds, "s"));
        report(new Figure("  readings, until the lives have them", count / ((count / rate) + seconds), "events/s"));
    }

    /// <summary>Posts readings with late and corrected ones among them; their rate is held against that of clean ones.</summary>
    public async Task PostCorrectedAsync(List<ModuleEvent> events, double share, CancellationToken cancellationToken)
    {
        _cleanShare = share;
        var (rate, revisions) = await Loads.StreamAsync(events, 100, known: false, cancellationToken);
        var seconds = await Loads.LivesSecondsAsync(revisions, cancellationToken);
        _corrected.Add(rate);
        _correctedWithLives.Add(events.Count / ((events.Count / rate) + seconds));
    }

    /// <summary>Waits until the lives have followed all that was posted.</summary>
    public async Task LivesFollowAsync(CancellationToken cancellationToken)
    {
        var (_, revisions) = await Loads.StreamAsync(fleet.SpreadReadings(1)[..1], 1, known: false, cancellationToken);
        await Loads.LivesSecondsAsync(revisions, cancellationToken);
    }

    /// <summary>Seeds the table of posted ids; returns the seconds it took.</summary>
    public async Task<double> SeedAsync(int ids, CancellationToken cancellationToken)
    {
        var start = Stopwatch.GetTimestamp();
        await _disk.SeedIdsAsync(ids, cancellationToken);
        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    /// <summary>Reports the medians of what was collected, and forgets it.</summary>
    public void ReportRates()
    {
        var limit = Median(_copied);
        report(new Figure($"the limit: plain COPY, keyed, commits of 500 (median of {_copied.Count})", limit, "rows/s"));
        foreach (var (name, (target, rates)) in _posted)
        {
            report(new Figure(name, Median(rates), "events/s"));
            report(new Figure("  as a part of the limit", Median(rates) / limit, "", Target.Least(target)));
        }

        if (_corrected.Count > 0)
        {
            report(new Figure("readings, spread, until the lives have them", Median(_cleanWithLives), "events/s"));
            report(new Figure("  as a part of the limit", Median(_cleanWithLives) / limit, ""));
            ReportLives("");
            report(new Figure("a reading in the log and its id table", Median(_bytes), "bytes", Target.Most(140)));
            report(new Figure("  what is derived grew by, a reading", Median(_derivedBytes), "bytes"));
            report(new Figure("readings of which 5 % are late or corrected, spread", Median(_corrected), "events/s"));
            report(new Figure("  as a part of the clean rate", Median(_corrected) / Median(_clean), "", Target.Least(_cleanShare)));
            // Most of the work that such a reading makes comes after its receipt.
            report(new Figure("  the same, until the lives have them", Median(_correctedWithLives) / Median(_cleanWithLives), ""));
        }

        _copied.Clear();
        _posted.Clear();
        _corrected.Clear();
    }

    /// <summary>Reports how soon the lives followed and what that took, and forgets it.</summary>
    /// <param name="of">Of what kind of records, for the names of the figures.</param>
    public void ReportLives(string of)
    {
        foreach (var seconds in _livesSeconds)
            report(new Figure($"  lives up to date, one load{of}", seconds, "s"));
        report(new Figure($"lives up to date after the last receipt (spread{of})", Median(_livesSeconds), "s", Target.Most(5)));
        ReportProcessors($"a reading, spread, until its receipt{of}", _posting);
        ReportProcessors($"  then until the lives have it{of}", _following);
        _livesSeconds.Clear();
        _posting.Clear();
        _following.Clear();
    }

    private void ReportProcessors(string what, List<(double Client, double Service, double Postgres)> taken)
    {
        report(new Figure($"{what}: processor of client", Median(taken.Select(each => each.Client)), "us"));
        report(new Figure("    of service", Median(taken.Select(each => each.Service)), "us"));
        report(new Figure("    of PostgreSQL", Median(taken.Select(each => each.Postgres)), "us"));
    }

    private static double Median(IEnumerable<double> values)
    {
        var sorted = values.Order().ToArray();
        return (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }
}
