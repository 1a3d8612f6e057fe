namespace Reliability.Rules;

/// <summary>
/// "A life counts from the age at which observation began. Unknown, or begun before and not stated: excluded and counted,
/// never 0."
/// </summary>
internal sealed record Entry(long Hours, Left? LeftOut = null, long AgeThen = 0, Span HoursThen = default)
{
    /// <summary>The age at hours of the phase: it was known at one moment, and the hours since add to it.</summary>
    public Span Age(Span hours) => new(
        AgeThen + Math.Max(0, hours.Lower - HoursThen.Upper), AgeThen + Math.Max(0, hours.Upper - HoursThen.Lower));

    public static Entry Of(
        Story story, Phase phase, List<Spell> spells, Ages ages, Ended ended, Window start, Wrong wrong)
    {
        var registered = story.Registration;
        if (phase.Number > story.RegisteredPhase)
            return new(0);
        var entry = phase.Number < story.RegisteredPhase || (ended.Shown is { } shown && !Before(registered.When, shown.When))
            ? OpenedLate(story, phase, ages, ended, start, wrong)
            : Registered(story, phase, spells, ages, start);
        return wrong == Wrong.LateEntryAsZero ? entry with { Hours = 0 } : entry;
    }

    private static bool Before(Window one, Window next) => one.To <= next.From && one.From < next.From;

    private static Entry Registered(Story story, Phase phase, List<Spell> spells, Ages ages, Window start)
    {
        var registered = story.Registration;
        if (registered.Age is not { } age)
            return new(0, Left.EntryAgeUnknown);
        if (!Before(start, registered.When))
            return new(age, null, age);
        story.Reached.Add("fitted before it was registered");
        if (age > 0)
            return new(age, null, age, HoursAt(phase, ages, registered.When, story.RegistrationReading));

        // Decision 0005: registered at age 0 but fitted before, the life counts from the first reading after.
        var first = story.Points
            .Where(p => spells.Contains(p.Segment?.Spell!) && p.Known && p.When.From >= registered.When.From
                && p.Role is Role.Read or Role.Installed or Role.NewMeterBegins)
            .Select(p => ages.At(p)!.Value).OrderBy(a => a.Upper).Cast<Span?>().FirstOrDefault();
        return first is { } seen ? new(seen.Upper) : new(0, Left.NoExposure);
    }

    // "A life whose record was opened when or after its outcome was known is admitted only from a source that declares
    // complete_from; without it such lives are excluded whatever their outcome; a life that ended before that date likewise."
    private static Entry OpenedLate(Story story, Phase phase, Ages ages, Ended ended, Window start, Wrong wrong)
    {
        var registered = story.Registration;
        story.Reached.Add("opened after the outcome");
        if (registered.CompleteFrom is not { } complete)
            return new(0, wrong == Wrong.OpenedAfterOutcomeAdmitted ? null : Left.OpenedAfterOutcome);
        story.Reached.Add("opened after the outcome, complete from a date");
        if (ended.Shown is { } shown && Before(shown.When, Window.At(complete)))
            return new(0, Left.EndedBeforeComplete);
        var age = phase.Number < story.RegisteredPhase ? 0 : registered.Age;
        var begunBefore = start.From < complete;
        if (age is not { } stated || (begunBefore && stated == 0))
            return new(0, Left.EntryAgeUnknown);
        return begunBefore
            ? new(stated, null, stated, HoursAt(phase, ages, Window.At(complete), null))
            : new(stated, null, stated);
    }

    private static Span HoursAt(Phase phase, Ages ages, Window when, Point? reading)
    {
        if (ages.At(reading) is { } read)
            return read;
        var spell = phase.Spells.FindLast(s => s.Start.From <= when.From);
        return spell is null ? default
            : spell.End is { } end && end.To <= when.From ? ages.AtEnd(spell)
            : ages.AtTime(spell, when);
    }
}
