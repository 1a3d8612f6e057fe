using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>The steps from a record to lives, each a rule of its own.</summary>
internal sealed class RecordDerivation(ModuleRecord record, ModuleCatalogue catalogue, DerivationOptions options)
{
    private readonly Ledger _ledger = new();

    public DerivedModule Run()
    {
        var all = DistinctEvents.Of(record.Events, _ledger);
        var counting = Ordering.ByOccurrence(Corrections.Apply(all, _ledger).Where(HappenedInTime));
        var registration = Registration(counting);
        var reports = counting.Where(e => e.Body is LifeReportedV1).ToList();
        List<PhaseOutcome> outcomes = [];
        RecordWalk? walk = null;
        if (registration is null)
        {
            foreach (var waiting in counting.Where(e => e.Body is not (LifeReportedV1 or RetractedV1) && !HostRecord.Is(e.ModuleId)))
                _ledger.Wait(waiting, UnresolvedReason.ModuleNotRegistered);
        }
        else
        {
            (walk, outcomes) = FromEvents(counting, registration);
        }

        var reported = new ReportRule(catalogue, registration, options.OutcomePolicy, _ledger)
            .Apply(reports, options.DataCutoffTime, walk?.Spells.Min(spell => (DateTimeOffset?)spell.Start.Earliest));
        var lives = Numbered(ref outcomes, reported);
        return new StateRule(record.ModuleId, registration, walk, outcomes, lives).Describe() with
        {
            Identifiers = Identifiers(counting),
            Lives = [.. lives.Select(life => ModeSelection.Apply(life, options.FailureMode))],
            Spells = SpellRule.Of(outcomes),
            Usage = UsageRule.Of(outcomes),
            Continuation = Continuation(counting, walk, outcomes),
            Events = _ledger.Statuses(Ordering.ByOccurrence(
                new HostShare(walk?.Spells ?? []).Of(all).Select(e => e.Told()))),
        };
    }

    // A correction that waits may be of any reading that comes; with a cut-off or one failure mode lives are asked for, not kept.
    private Continuation? Continuation(List<RecordedEvent> counting, RecordWalk? walk, List<PhaseOutcome> outcomes) =>
        walk is null || _ledger.WaitsForTarget || options is not { DataCutoffTime: null, FailureMode: null }
            ? null
            : LifeContinuation.Of(counting, walk, outcomes[^1]);

    private (RecordWalk Walk, List<PhaseOutcome> Outcomes) FromEvents(List<RecordedEvent> counting, RecordedEvent registration)
    {
        var structure = DayMoves.Apply(
            [.. counting.Where(e => Ordering.IsStructural(e.Body) && (e.Body is not RegisteredV1 || e == registration))]);
        List<MeterReading> ownReadings =
        [
            .. counting.Where(e => !HostRecord.Is(e.ModuleId)).Select(e => e.Body).OfType<RunHoursReadV1>()
                .Where(read => read.Meter != MeterOwner.Host).SelectMany(read => read.Readings),
        ];
        var walk = RecordWalk.Through(structure, ownReadings, options, _ledger);
        var placement = new ReadingPlacement(walk.Spells, counting.Count, _ledger);
        foreach (var recorded in counting)
        {
            if (recorded.Body is RunHoursReadV1 read)
                placement.Place(recorded, read, options.DataCutoffTime);
            else if (recorded.Body is OutputMeasuredV1 measured)
                placement.Place(recorded, measured);
        }

        foreach (var run in walk.Runs)
        {
            run.Settle(_ledger);
            foreach (var item in run.Accepted)
                item.Segment?.Accepted.Add(item);
        }

        return (walk, new LifeRule(walk, registration, catalogue, options, _ledger).Apply());
    }

    // A second registration does not change what the first said, but a module may be known by the identifiers of both.
    private static List<ModuleIdentifier> Identifiers(List<RecordedEvent> counting) =>
    [
        .. counting.SelectMany(recorded => recorded.Body switch
            {
                RegisteredV1 registered => registered.Identifiers,
                LifeReportedV1 reported => reported.Identifiers,
                _ => [],
            })
            .Select(IdentifierText.Canonical).Distinct()
            .OrderBy(identifier => identifier.Kind).ThenBy(identifier => identifier.Value, StringComparer.Ordinal),
    ];

    private bool HappenedInTime(RecordedEvent recorded)
    {
        if (options.DataCutoffTime is not { } cutoff || recorded.Body is RetractedV1 or LifeReportedV1)
            return true;

        var inTime = recorded.Body switch
        {
            RunHoursReadV1 read => read.Readings.Any(r => r.Latest <= cutoff),
            _ => recorded.Occurrence.Latest <= cutoff,
        };
        if (!inTime)
            _ledger.Stand(recorded, EventStanding.AfterCutoff);
        return inTime;
    }

    private RecordedEvent? Registration(List<RecordedEvent> counting)
    {
        RecordedEvent? first = null;
        foreach (var recorded in counting.Where(e => e.Body is RegisteredV1))
        {
            if (first is null)
            {
                first = recorded;
                if (catalogue.Find(((RegisteredV1)recorded.Body).Model) is null)
                    _ledger.Wait(recorded, UnresolvedReason.ModelUnknown);
                continue;
            }

            _ledger.Stand(recorded, EventStanding.Duplicate, first.EventId);
            if (!EventContent.SaysTheSame(first, recorded with { Occurrence = first.Occurrence }))
                _ledger.Flag(recorded, RecordOddity.RegisteredAgain);
        }

        return first;
    }

    // Lives from events and from reports in one order of start; reports lie before the events, else the events win.
    private static List<Life> Numbered(ref List<PhaseOutcome> outcomes, List<Life> reported)
    {
        var lives = reported.Select((life, index) => life with { Number = index + 1 }).ToList();
        var numbered = new List<PhaseOutcome>();
        foreach (var outcome in outcomes)
        {
            var life = outcome.Life is { } unnumbered ? unnumbered with { Number = lives.Count + 1 } : null;
            if (life is not null)
                lives.Add(life);
            numbered.Add(outcome with { Life = life });
        }

        outcomes = numbered;
        return lives;
    }
}
