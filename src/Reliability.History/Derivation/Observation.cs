using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// From which age on a life was under observation, and how run-hours of its phase turn into age: late entry, records opened
/// late, ages that nobody knows.
/// </summary>
internal sealed record Observation
{
    /// <summary>Age at which observation began.</summary>
    public double Entry { get; private init; }

    public LifeExclusion? Exclusion { get; private init; }

    /// <summary>Whether ages are known at all.</summary>
    public bool AgesKnown { get; private init; } = true;

    // At a point of the phase with these run-hours the age was this.
    public double AnchorAge { get; private init; }

    public HoursRange AnchorHours { get; private init; } = HoursRange.Known(0);

    public HoursRange Age(HoursRange hours) => new(
        AnchorAge + Math.Max(0, hours.LowerHours - AgeWalk.Upper(AnchorHours)),
        AnchorAge + Math.Max(0, AgeWalk.Upper(hours) - AnchorHours.LowerHours));

    public static Observation Of(
        Phase phase, RecordWalk walk, AgeWalk ages, OutcomeDraft outcome, Occurrence start, RecordedEvent registration)
    {
        var registered = (RegisteredV1)registration.Body;
        if (phase.Index > walk.RegisteredPhase)
            return new();

        var opened = registration.Occurrence;
        var openedLate = phase.Index < walk.RegisteredPhase
            || (outcome.Known is { } known && !Ordering.CertainlyBefore(opened, known));
        if (openedLate)
            return OpenedLate(phase, walk, ages, outcome, start, registered);
        if (registered.AgeHours is not { } age)
            return AgeUnknown();
        if (!Ordering.CertainlyBefore(start, opened))
            return AtStart(age);
        return age > 0
            ? new() { Entry = age, AnchorAge = age, AnchorHours = HoursAt(phase, ages, opened, walk.RegistrationReading) }
            : FromFirstReading(ages, opened);
    }

    private static Observation OpenedLate(
        Phase phase, RecordWalk walk, AgeWalk ages, OutcomeDraft outcome, Occurrence start, RegisteredV1 registered)
    {
        if (registered.CompleteFrom is not { } completeFrom)
            return new() { Exclusion = LifeExclusion.OpenedAfterOutcome, AgesKnown = registered.AgeHours is not null };
        if (outcome.Known is { } known && known.Latest <= completeFrom && known.Earliest < completeFrom)
            return new() { Exclusion = LifeExclusion.EndedBeforeComplete, AgesKnown = registered.AgeHours is not null };

        var age = phase.Index < walk.RegisteredPhase ? 0 : registered.AgeHours;
        var begunBefore = start.Earliest < completeFrom;
        if (age is not { } stated || (begunBefore && stated <= 0))
            return AgeUnknown();
        return begunBefore
            ? new()
            {
                Entry = stated,
                AnchorAge = stated,
                AnchorHours = HoursAt(phase, ages, Occurrence.AtInstant(completeFrom), null),
            }
            : AtStart(stated);
    }

    /// <summary>Turns hours into ages alone: at one point of the phase, with these run-hours, the age was this.</summary>
    public static Observation Anchored(double age, HoursRange hours) => new() { AnchorAge = age, AnchorHours = hours };

    private static Observation AgeUnknown() => new() { Exclusion = LifeExclusion.EntryAgeUnknown, AgesKnown = false };

    private static Observation AtStart(double age) => new() { Entry = age, AnchorAge = age };

    // Registered as of age 0 but fitted before: the age is counted from the install, the life from the first reading that
    // showed it working under observation.
    private static Observation FromFirstReading(AgeWalk ages, Occurrence opened)
    {
        foreach (var point in ages.Points)
        {
            if (!point.Spell.AfterLife
                && point.Item.Kind is ReadingKind.Read or ReadingKind.Installed or ReadingKind.MeterFirst
                && point.Item.Reading.Earliest >= opened.Earliest)
                return new() { Entry = AgeWalk.Upper(point.Hours) };
        }

        return new() { Exclusion = LifeExclusion.NoExposure };
    }

    private static HoursRange HoursAt(Phase phase, AgeWalk ages, Occurrence when, ReadingItem? reading)
    {
        if (ages.At(reading) is { } shown)
            return shown;
        var spell = phase.Spells.FindLast(s => s.Start.Earliest <= when.Earliest);
        if (spell is null)
            return HoursRange.Known(0);
        return spell.End is { } end && end.Latest <= when.Earliest
            ? ages.AtEnd(spell)
            : ages.During(spell, when.Earliest, when.Latest);
    }
}
