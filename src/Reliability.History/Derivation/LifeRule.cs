using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>A phase with what the rules say of it.</summary>
internal sealed record PhaseOutcome(Phase Phase, AgeWalk Ages, Observation Observation, OutcomeDraft Draft, Life? Life)
{
    public required Condition Condition { get; init; }

    /// <summary>Run-hours since manufacture when the phase began; null when unknown.</summary>
    public HoursRange? TotalBefore { get; init; }

    /// <summary>
    /// Run-hours since manufacture at its end, as far as recorded: a host's meter that ran on after a failure does not count,
    /// hours run on in service after it do. Null when unknown.
    /// </summary>
    public HoursRange? TotalAfter
    {
        get
        {
            if (!Observation.AgesKnown || TotalBefore is not { } before)
                return null;
            if (Draft.Kind == OutcomeKind.Survived)
                return before + Observation.Age(Ages.End);

            var ended = Draft.Upper ?? Ages.End;
            var lower = Draft.Kind == OutcomeKind.Failed ? ended : Draft.Lower ?? HoursRange.Known(0);
            var life = new HoursRange(Observation.Age(lower).LowerHours, Observation.Age(ended).UpperHours);
            var after = Phase.Spells.Find(spell => spell.AfterLife);
            if (after is null)
                return before + life;
            var (from, to) = (Ages.AtStart(after), Ages.End);
            return before + life + new HoursRange(
                Math.Max(0, to.LowerHours - from.LowerHours), Math.Max(0, AgeWalk.Upper(to) - AgeWalk.Upper(from)));
        }
    }

    /// <summary>Whether its life goes on.</summary>
    public bool GoesOn => Phase.ClosedBy is null && Draft.Kind == OutcomeKind.Survived && !Draft.ExcludedByPolicy;
}

/// <summary>Makes a life of each phase in which the module entered service.</summary>
internal sealed class LifeRule(
    RecordWalk walk, RecordedEvent registration, ModuleCatalogue catalogue, DerivationOptions options, Ledger ledger)
{
    private readonly RegisteredV1 _registered = (RegisteredV1)registration.Body;

    public List<PhaseOutcome> Apply()
    {
        var model = catalogue.Find(_registered.Model);
        var outcomes = new List<PhaseOutcome>();
        var condition = FirstCondition();
        HoursRange? total = condition.RefurbishmentCount == 0 ? HoursRange.Known(0) : null;
        foreach (var phase in walk.Phases)
        {
            if (phase.Index > 0)
                condition = condition.RenewedBy(phase.RenewedBy);
            if (phase.Index == walk.RegisteredPhase)
                total = TotalBeforeRegisteredLife(condition);

            var outcome = Of(phase, model, condition, total);
            outcomes.Add(outcome);
            total = outcome.TotalAfter;
        }

        return outcomes;
    }

    // The condition is stated as of the registration; work recorded before it is taken off again.
    private Condition FirstCondition() =>
        walk.RegisteredPhase == 0
            ? _registered.Condition
            : new()
            {
                RefurbishmentCount = Math.Max(0, _registered.Condition.RefurbishmentCount - walk.RegisteredPhase),
            };

    private HoursRange? TotalBeforeRegisteredLife(Condition condition)
    {
        var total = _registered.TotalHours ?? (condition.RefurbishmentCount == 0 ? _registered.AgeHours : null);
        return total is { } hours && _registered.AgeHours is { } age ? HoursRange.Known(Math.Max(0, hours - age)) : null;
    }

    private PhaseOutcome Of(Phase phase, ModuleModel? model, Condition condition, HoursRange? total)
    {
        var ages = AgeWalk.Over(phase);
        var first = phase.Spells.Find(spell => !spell.AfterLife);
        var startEvent = first?.StartEvent ?? phase.Renewal ?? registration;
        var start = startEvent.Occurrence;
        var version = model?.InForceAt(start.Earliest);
        var draft = OutcomeRule.Of(phase, ages, version?.OutputThreshold, options.OutcomePolicy, ledger);
        var observation = Observation.Of(phase, walk, ages, draft, start, registration);
        var outcome = new PhaseOutcome(phase, ages, observation, draft, null) { Condition = condition, TotalBefore = total };
        if (first is null && phase.WithoutInstall is null)
            return outcome;

        var (ending, noExposure) = observation.AgesKnown ? Ending(draft, observation) : (null, false);
        var shownBy = outcome.GoesOn ? LastWorking(ages) ?? draft.Event : draft.Event;
        var life = new Life
        {
            ModuleId = registration.ModuleId,
            Number = 0,
            Origin = LifeOrigin.Events,
            ModelId = _registered.Model,
            Condition = condition,
            Site = first?.Install?.Site,
            HostDevice = first?.Install?.HostDevice,
            HostModel = first?.Install?.HostModel,
            Position = first?.Install?.Position,
            Lot = _registered.Lot,
            StartTime = start.Earliest,
            EndTime = EndTime(outcome, start),
            InService = outcome.GoesOn && walk.OpenSpell?.Phase == phase,
            EntryHours = observation.Entry,
            Outcome = ending,
            EndedInFailure = draft.Kind != OutcomeKind.Survived,
            FailureMode = draft.Mode,
            RemovalReason = draft.Reason,
            RatedHours = version?.RatedLifeFor(condition)?.RatedHours,
            TotalHoursBefore = total,
            Flags = draft.Flags,
            Ambiguities = draft.Ambiguities,
            StartEventId = startEvent.EventId,
            OutcomeEventId = shownBy?.EventId,
        };
        return outcome with { Life = life with { Exclusion = Exclusion(phase, model, life, observation, draft, noExposure) } };
    }

    private static LifeExclusion? Exclusion(
        Phase phase, ModuleModel? model, Life life, Observation observation, OutcomeDraft draft, bool noExposure)
    {
        if (model is null)
            return LifeExclusion.ModelUnknown;
        if (phase.Spells.Count == 0)
            return LifeExclusion.InstallMissing;
        if (phase.RenewalUnknown)
            return LifeExclusion.RenewalUnknown;
        if (observation.Exclusion is { } unobserved)
            return unobserved;
        if (draft.ExcludedByPolicy)
            return LifeExclusion.ExcludedByPolicy;
        if (noExposure)
            return LifeExclusion.NoExposure;
        return life.Outcome is null ? LifeExclusion.AgeUnknown : null;
    }

    // The outcome as age, from the entry on; and whether nothing was seen beyond the entry.
    internal static (LifeOutcome? Outcome, bool NoExposure) Ending(OutcomeDraft draft, Observation observation)
    {
        var entry = observation.Entry;
        var lower = draft.Lower is { } seen ? observation.Age(seen).LowerHours : entry;
        if (draft.Kind == OutcomeKind.Survived)
            return (LifeOutcome.Survived(lower), lower <= entry);
        if (draft.Upper is not { } ended)
            return (null, false);

        var age = observation.Age(ended);
        var upper = AgeWalk.Upper(age);
        if (!double.IsFinite(upper))
            return (null, false);
        return draft.Kind == OutcomeKind.Failed && age.IsKnown
            ? (LifeOutcome.Failed(upper), upper <= entry)
            : (LifeOutcome.Between(Math.Min(Math.Max(lower, entry), upper), upper), upper <= entry);
    }

    private static DateTimeOffset EndTime(PhaseOutcome outcome, Occurrence start)
    {
        var shown = outcome.GoesOn && outcome.Draft.Known is null
            ? LastWorkingTime(outcome.Ages)
            : outcome.Draft.Known?.Earliest ?? LastWorkingTime(outcome.Ages);
        return shown is { } time && time > start.Earliest ? time : start.Earliest;
    }

    private static DateTimeOffset? LastWorkingTime(AgeWalk ages) =>
        ages.Points.Count > 0 ? ages.Points[^1].Item.Reading.Earliest : null;

    private static RecordedEvent? LastWorking(AgeWalk ages) =>
        ages.Points.Count > 0 ? ages.Points[^1].Item.Event : null;
}
