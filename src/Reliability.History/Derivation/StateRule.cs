using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>Where the module is now, by its events or, without any, by the last report of a life.</summary>
internal sealed class StateRule(
    string moduleId,
    RecordedEvent? registration,
    RecordWalk? walk,
    List<PhaseOutcome> outcomes,
    List<Life> lives)
{
    public DerivedModule Describe() => walk is null || FromReportsAlone() ? FromReports() : FromEvents(walk);

    // A registration tells what the module is, not where it is: without any other event a report says more.
    private bool FromReportsAlone() =>
        walk is { Spells.Count: 0, Retirement: null, Phases.Count: 1 } && lives.Count > 0 && lives[^1].Origin == LifeOrigin.Report;

    private DerivedModule FromEvents(RecordWalk walked)
    {
        var registered = (RegisteredV1)registration!.Body;
        var last = outcomes[^1];
        var open = walked.OpenSpell;
        var reading = outcomes.FindLast(outcome => outcome.Ages.Points.Count > 0)?.Ages.Points[^1];
        var goesOn = last.GoesOn && last.Observation.AgesKnown && !last.Phase.RenewalUnknown;
        return new()
        {
            ModuleId = moduleId,
            State = State(walked, last),
            ModelId = registered.Model,
            Lot = registered.Lot,
            Condition = last.Condition,
            HostDevice = open?.Install?.HostDevice,
            Position = open?.Install?.Position,
            Site = open?.Install?.Site,
            HostModel = open?.Install?.HostModel,
            Age = goesOn ? last.Observation.Age(LastHours(last)) : null,
            TotalHours = goesOn ? last.TotalBefore + last.Observation.Age(LastHours(last)) : last.TotalAfter,
            LastReadingTime = reading?.Item.Reading.Earliest,
            LastReadingHours = reading?.Item.Hours,
            ExpectedHoursPerDay = open?.Install?.ExpectedHoursPerDay,
            CurrentLifeNumber = last.GoesOn ? last.Life?.Number : null,
        };
    }

    private static HoursRange LastHours(PhaseOutcome outcome) =>
        outcome.Ages.Points.Count > 0 ? outcome.Ages.Points[^1].Hours : HoursRange.Known(0);

    private static ModuleState State(RecordWalk walked, PhaseOutcome last)
    {
        var over = last.Draft.Kind != OutcomeKind.Survived || last.Draft.ExcludedByPolicy;
        if (walked.OpenSpell is { } open)
            return over && !open.AfterLife ? ModuleState.FailedInPlace : ModuleState.InService;
        if (walked.Retirement is not null)
            return ModuleState.Retired;
        return over ? ModuleState.Removed : ModuleState.OnShelf;
    }

    private DerivedModule FromReports()
    {
        if (lives.Count == 0)
            return new() { ModuleId = moduleId, State = ModuleState.Unregistered };

        var last = lives[^1];
        var survived = last.Outcome is { Kind: OutcomeKind.Survived } outcome ? outcome.LowerHours : (double?)null;
        return new()
        {
            ModuleId = moduleId,
            State = last.InService ? ModuleState.InService
                : last.EndedInFailure ? ModuleState.Removed : ModuleState.OnShelf,
            ModelId = last.ModelId,
            Lot = last.Lot,
            Condition = last.Condition,
            Site = last.InService ? last.Site : null,
            HostModel = last.InService ? last.HostModel : null,
            Age = last.InService && survived is { } age ? HoursRange.Known(age) : null,
            TotalHours = last.TotalHoursBefore is { } before && last.Outcome is { UpperHours: null } alive
                ? before + HoursRange.Known(alive.LowerHours) : null,
            LastReadingTime = last.EndTime,
            CurrentLifeNumber = last.InService ? last.Number : null,
        };
    }
}
