using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Lives out of rows that each report a whole life. Rows of one module with one start report one life: the latest end wins,
/// at equal ends a failure over a survival. Where the module's events tell of that time, they win. That a source lists every life
/// from a date on is said by the source, not by one of its rows: any row of the life from the source of the one that counts says it.
/// </summary>
internal sealed class ReportRule(
    ModuleCatalogue catalogue, RecordedEvent? registration, OutcomePolicy policy, Ledger ledger)
{
    /// <summary>The lives reported, in order of start.</summary>
    /// <param name="reports">Rows that count.</param>
    /// <param name="cutoff">The data cut-off; null for none.</param>
    /// <param name="told">When the first spell that the module's events tell of began; null when they tell of none.</param>
    public List<Life> Apply(IEnumerable<RecordedEvent> reports, DateTimeOffset? cutoff, DateTimeOffset? told)
    {
        var lives = new List<Life>();
        RecordedEvent? previous = null;
        var groups = reports.GroupBy(r => Body(r).Start.Earliest).OrderBy(group => group.Key);
        foreach (var group in groups)
        {
            var inTime = group.Where(r => !(Body(r).End.Latest > cutoff)).ToList();
            foreach (var row in group.Except(inTime))
                ledger.Stand(row, EventStanding.AfterCutoff);
            if (inTime.Count == 0)
            {
                lives.AddRange(BeyondCutoff(group, cutoff!.Value, told));
                continue;
            }

            var rows = inTime
                .OrderBy(r => Body(r).End.Earliest).ThenBy(r => Body(r).Outcome).ThenBy(r => Body(r).AgeAtEndHours)
                .ThenBy(r => Body(r).CompleteFrom ?? DateTimeOffset.MinValue).ThenByDescending(r => r.EventId).ToList();
            var winner = rows[^1];
            var completeFrom = Body(winner).CompleteFrom
                ?? rows.Where(r => r.Source == winner.Source).Max(r => Body(r).CompleteFrom);
            var life = Of(winner, completeFrom, FlagConflicts(rows));
            if (told is { } from && Body(winner).End.Earliest > from)
            {
                ledger.Stand(winner, EventStanding.Superseded);
                continue;
            }

            if (previous is not null && Body(previous).End.Earliest > Body(winner).Start.Latest)
            {
                ledger.Flag(previous, RecordOddity.ConflictingReport);
                ledger.Flag(winner, RecordOddity.ConflictingReport);
            }

            previous = winner;
            lives.Add(life);
        }

        return lives;
    }

    // The life went on at the cut-off, at an age that the row does not tell: counted, so that it is seen to be missing.
    private IEnumerable<Life> BeyondCutoff(IEnumerable<RecordedEvent> rows, DateTimeOffset cutoff, DateTimeOffset? told)
    {
        var row = rows.OrderBy(r => Body(r).End.Earliest).ThenBy(r => r.EventId).First();
        if (Body(row).Start.Latest > cutoff || Body(row).End.Earliest > told)
            yield break;
        yield return Of(row, Body(row).CompleteFrom, Contradictions.None) with
        {
            EndTime = Body(row).Start.Earliest,
            InService = false,
            Outcome = null,
            EndedInFailure = false,
            FailureMode = null,
            RemovalReason = null,
            Exclusion = LifeExclusion.ReportedBeyondCutoff,
            Ambiguities = [],
        };
    }

    private static LifeReportedV1 Body(RecordedEvent report) => (LifeReportedV1)report.Body;

    /// <summary>
    /// Shows which rows contradict each other. The life is flagged only for what its outcome rests on: a contradiction of
    /// the row that counts, not one between two rows that it overrules.
    /// </summary>
    private Contradictions FlagConflicts(List<RecordedEvent> rows)
    {
        var winner = rows[^1];
        var found = false;
        var flags = new List<RecordOddity>();
        var oldest = double.NegativeInfinity;
        var failed = false;
        foreach (var row in rows)
        {
            var body = Body(row);
            if (body.AgeAtEndHours < oldest)
                Contradicts(row, RecordOddity.FallingAge, row == winner);
            if (failed && body.Outcome == ReportedOutcome.Survived)
                Contradicts(row, RecordOddity.ConflictingReport, row == winner);
            // One end cannot have two ages: one of the rows is mistyped, and nothing says which.
            if (row != winner && body.End.Earliest == Body(winner).End.Earliest && body.AgeAtEndHours != Body(winner).AgeAtEndHours)
                Contradicts(row, RecordOddity.ConflictingReport, true);

            oldest = Math.Max(oldest, body.AgeAtEndHours);
            failed |= body.Outcome == ReportedOutcome.Failed;
            if (row != winner)
            {
                var same = EventContent.SaysTheSame(row, winner);
                ledger.Stand(row, same ? EventStanding.Duplicate : EventStanding.Superseded, winner.EventId);
            }
        }

        return new(found, [.. flags.Distinct().Order()]);

        void Contradicts(RecordedEvent row, RecordOddity oddity, bool ofOutcome)
        {
            ledger.Flag(row, oddity);
            found = true;
            if (ofOutcome)
                flags.Add(oddity);
        }
    }

    /// <summary>What rows of one life say against each other.</summary>
    /// <param name="Any">Whether any contradict each other.</param>
    /// <param name="OfOutcome">What is odd about the outcome and its age.</param>
    private readonly record struct Contradictions(bool Any, IReadOnlyList<RecordOddity> OfOutcome)
    {
        public static Contradictions None { get; } = new(false, []);
    }

    private Life Of(RecordedEvent report, DateTimeOffset? completeFrom, Contradictions contradictions)
    {
        var body = Body(report);
        var model = catalogue.Find(body.Model);
        if (model is null)
            ledger.Wait(report, UnresolvedReason.ModelUnknown);
        if (body.Outcome == ReportedOutcome.Survived && body.Reason == RemovalReason.Failed)
            ledger.Flag(report, RecordOddity.OutcomeContradictsReason);

        var (outcome, mode, byPolicy) = Ending(body);
        var entry = Entry(body, completeFrom, out var unobserved);
        var noExposure = false;
        if (entry is { } age)
            (outcome, noExposure) = FromEntry(outcome, age);

        var ambiguities = new List<LifeAmbiguity>();
        if (body is { Outcome: ReportedOutcome.Survived, Reason: RemovalReason.LowOutput })
            ambiguities.Add(LifeAmbiguity.UnmeasuredLowOutput);
        if (body is { Outcome: ReportedOutcome.Survived, Reason: RemovalReason.Other })
            ambiguities.Add(LifeAmbiguity.OtherReason);
        if (contradictions.Any)
            ambiguities.Add(LifeAmbiguity.ConflictingReports);

        return new()
        {
            ModuleId = report.ModuleId,
            Number = 0,
            Origin = LifeOrigin.Report,
            ModelId = body.Model,
            Condition = body.Condition,
            Site = body.Site,
            HostModel = body.HostModel,
            Lot = body.Lot,
            StartTime = body.Start.Earliest,
            EndTime = body.End.Earliest > body.Start.Earliest ? body.End.Earliest : body.Start.Earliest,
            InService = body.InService && outcome.Kind == OutcomeKind.Survived,
            EntryHours = entry ?? 0,
            Outcome = outcome,
            EndedInFailure = outcome.Kind != OutcomeKind.Survived,
            FailureMode = outcome.Kind == OutcomeKind.Survived ? null : mode,
            RemovalReason = body.Reason,
            RatedHours = model?.InForceAt(body.Start.Earliest).RatedLifeFor(body.Condition)?.RatedHours,
            TotalHoursBefore = body.Condition.RefurbishmentCount == 0 ? HoursRange.Known(0) : null,
            Exclusion = model is null ? LifeExclusion.ModelUnknown
                : unobserved ?? (byPolicy ? LifeExclusion.ExcludedByPolicy : noExposure ? LifeExclusion.NoExposure : null),
            Flags = contradictions.OfOutcome,
            Ambiguities = ambiguities,
            StartEventId = report.EventId,
            OutcomeEventId = report.EventId,
        };
    }

    private (LifeOutcome Outcome, string? Mode, bool ByPolicy) Ending(LifeReportedV1 body)
    {
        if (body.Outcome == ReportedOutcome.Failed)
        {
            return (
                body.FailureMoment ? LifeOutcome.Failed(body.AgeAtEndHours) : Found(body),
                body.FailureMode ?? (body.Reason == RemovalReason.LowOutput ? FailureModes.Output : null),
                false);
        }

        // The row says that the module survived; a reason that contradicts it is flagged, and the policy cannot overrule it.
        var verdict = body.Reason switch
        {
            null or RemovalReason.Failed => OutcomeVerdict.Survived,
            RemovalReason.LowOutput when policy.On(RemovalReason.LowOutput) != OutcomeVerdict.Survived => policy.UnmeasuredLowOutput,
            { } reason => policy.On(reason),
        };
        return verdict == OutcomeVerdict.Failed
            ? (Found(body), body.Reason == RemovalReason.LowOutput ? FailureModes.Output : body.FailureMode, false)
            : (LifeOutcome.Survived(body.AgeAtEndHours), null, verdict == OutcomeVerdict.Excluded);
    }

    private static LifeOutcome Found(LifeReportedV1 body) =>
        LifeOutcome.Between(Math.Min(body.AgeLastWorkingHours ?? 0, body.AgeAtEndHours), body.AgeAtEndHours);

    // A row is opened when its outcome is known, unless the module was registered before.
    private double? Entry(LifeReportedV1 body, DateTimeOffset? declared, out LifeExclusion? unobserved)
    {
        unobserved = null;
        if (registration is not null && Ordering.CertainlyBefore(registration.Occurrence, body.End))
        {
            var observedFromStart = !Ordering.CertainlyBefore(body.Start, registration.Occurrence);
            if ((body.AgeAtObservationHours ?? (observedFromStart ? 0 : null)) is { } seen)
                return seen;
        }

        if (declared is not { } completeFrom)
        {
            unobserved = LifeExclusion.OpenedAfterOutcome;
            return body.AgeAtObservationHours;
        }

        if (body.End.Latest <= completeFrom && body.End.Earliest < completeFrom)
        {
            unobserved = LifeExclusion.EndedBeforeComplete;
            return body.AgeAtObservationHours;
        }

        // A life that began before the list is complete had run by then: an age of 0 would be untrue.
        var begunWithin = body.Start.Earliest >= completeFrom;
        if (body.AgeAtObservationHours is { } stated && (begunWithin || stated > 0))
            return stated;
        if (begunWithin)
            return 0;
        unobserved = LifeExclusion.EntryAgeUnknown;
        return null;
    }

    private static (LifeOutcome Outcome, bool NoExposure) FromEntry(LifeOutcome outcome, double entry) => outcome.Kind switch
    {
        OutcomeKind.Between => outcome.UpperHours is { } upper && upper > entry
            ? (LifeOutcome.Between(Math.Max(outcome.LowerHours, entry), upper), false)
            : (outcome, true),
        _ => (outcome, outcome.LowerHours <= entry),
    };
}
