namespace Reliability.Rules;

/// <summary>How a life ended, in hours of its phase.</summary>
internal sealed class Ended
{
    public bool Failed { get; set; }
    public bool WasFailure { get; init; }
    public bool Exact { get; init; }
    public Span? Lower { get; init; }
    public Span? Upper { get; init; }
    public long Beyond { get; init; }
    public string? Mode { get; init; }
    public Reason? Why { get; init; }
    public bool Flagged { get; set; }
    public bool ByPolicy { get; set; }
    public List<Doubt> Doubts { get; init; } = [];

    /// <summary>The fact that showed the outcome; null while the life goes on.</summary>
    public Fact? Shown { get; init; }

    /// <summary>"Competing modes: with a mode selected, failures by other modes survived so far."</summary>
    public void OtherMode(Wrong wrong)
    {
        Failed = false;
        ByPolicy |= wrong == Wrong.OtherModesLeftOut;
        if (Mode is null)
            Doubts.Add(Doubt.ModeUnknown);
    }
}

/// <summary>The rules of outcomes: failure, low output, removal in working order, in service.</summary>
internal sealed class Endings
{
    /// <summary>What a wrong rule takes for today, hours since the origin: years after every record.</summary>
    private const long Today = 40_000;

    private readonly Story _story;
    private readonly Phase _phase;
    private readonly List<Spell> _spells;
    private readonly Ages _ages;
    private readonly long? _threshold;
    private readonly Asked _asked;
    private readonly Wrong _wrong;

    private Endings(Story story, Phase phase, List<Spell> spells, Ages ages, long? threshold, Asked asked, Wrong wrong)
    {
        (_story, _phase, _spells, _ages, _threshold, _asked, _wrong) = (story, phase, spells, ages, threshold, asked, wrong);
    }

    public static Ended Of(Story story, Phase phase, List<Spell> spells, Ages ages, long? threshold, Asked asked, Wrong wrong)
    {
        var endings = new Endings(story, phase, spells, ages, threshold, asked, wrong);
        return endings.LowOutput() ?? endings.Failure() ?? endings.Survival();
    }

    private bool? IsLow(Fact output) => _threshold is { } least && !output.InUnit ? output.Percent < least : null;

    // "Low output is a failure by the output mode, in (last reading at or above the threshold, first below]"; "stated but not
    // measured it is ambiguous: survived by default, the other way on request".
    private Ended? LowOutput()
    {
        var removed = Verdict.Survived == Unmeasured ? null : _spells.Find(s => s.Removal?.Why == Reason.LowOutput);
        var upTo = removed is null ? _spells : _spells[..(_spells.IndexOf(removed) + 1)];
        var measured = _story.Outputs
            .FindAll(o => upTo.Contains(o.Spell) && IsLow(o.Fact) is not null
                && (_phase.Failure is null || IsBeforeFailure(o.Fact.When, o.Reading)));
        var good = measured.FindLast(o => IsLow(o.Fact) == false);
        var low = measured.Find(o => good is null || measured.IndexOf(o) > measured.IndexOf(good));
        if (measured.Exists(o => IsLow(o.Fact) == true && good is not null && measured.IndexOf(o) < measured.IndexOf(good)))
            _story.Reached.Add("output recovered");
        if (low is not null && _asked.On(Reason.LowOutput) != Verdict.Survived)
        {
            _story.Reached.Add("output fell below its threshold");
            return new()
            {
                Failed = true,
                WasFailure = true,
                Lower = good is null ? null : At(good),
                Upper = At(low),
                Mode = "output",
                Shown = low.Fact,
                Why = _spells[^1].Removal?.Why,
                ByPolicy = _asked.On(Reason.LowOutput) == Verdict.Excluded,
                Flagged = RestsOn(_spells, low.Fact.When.To) || IsLeftOut(low.Reading) || IsLeftOut(good?.Reading),
            };
        }

        if (removed is null || (_phase.FailedIn is { } failedIn && upTo.Contains(failedIn)))
            return null;
        _story.Reached.Add("low output not measured, read the other way");
        return new()
        {
            Failed = true,
            WasFailure = true,
            Lower = LastGood(p => upTo.Contains(p.Segment!.Spell)),
            Upper = _ages.AtEnd(removed),
            Mode = "output",
            Shown = removed.EndedBy,
            Why = Reason.LowOutput,
            ByPolicy = Unmeasured == Verdict.Excluded,
            Flagged = RestsOn(upTo, removed.End!.Value.To),
            Doubts = [Doubt.UnmeasuredLowOutput],
        };
    }

    private Verdict Unmeasured =>
        _asked.On(Reason.LowOutput) == Verdict.Survived ? Verdict.Survived
        : _wrong == Wrong.UnmeasuredLowOutputAsFailure ? Verdict.Failed
        : _asked.UnmeasuredLowOutput;

    private Span At(Measured output)
    {
        if (_ages.At(output.Reading) is { } read)
            return read;
        return output.OnShelf ? _ages.AtEnd(output.Spell) : _ages.AtTime(output.Spell, output.Fact.When);
    }

    private Ended? Failure()
    {
        if (_phase.Failure is not { } failure)
            return null;
        var spell = _phase.FailedIn ?? _spells.LastOrDefault();
        var why = spell?.Removal?.Why ?? failure.Why;
        if (spell is null)
            return new() { Failed = true, WasFailure = true, Mode = _phase.Mode, Why = why, Shown = failure };

        var good = LastGood(p => p.Step is { } step ? step < _phase.FailureStep : IsBeforeFailure(p.When, p));
        var until = failure.When;
        if (_phase.FailedIn is null)
        {
            _story.Reached.Add("failure found out of the host");
            return new()
            {
                Failed = true,
                WasFailure = true,
                Lower = good,
                Upper = _ages.AtEnd(spell),
                Mode = _phase.Mode,
                Why = why,
                Shown = failure,
                Flagged = RestsOn(_spells, until.To),
                Exact = _wrong == Wrong.DiscoveryTakenAsExact,
            };
        }

        // Where the meter stopped with the module, what it showed at the end is what it showed at the failure.
        var segment = _story.Segments.Last(s => s.Spell == spell);
        var found = _ages.At(_phase.FailureReading)
            ?? (spell.MeterStops && segment.Last is not null ? _ages.At(segment.Last) : null);
        var leftOut = found is null && IsLeftOut(_phase.FailureReading);
        var at = found ?? _ages.AtTime(spell, until);
        var exact = failure.Moment || spell.MeterStops;
        _story.Reached.Add(failure.Kind == Kind.Removed ? "removed for failure" : exact ? "failure at its moment" : "failure discovered");
        if (good is null)
            _story.Reached.Add("no good reading");
        return new()
        {
            Failed = true,
            WasFailure = true,
            Exact = exact || _wrong == Wrong.DiscoveryTakenAsExact,
            Lower = exact && !(good?.Lower > at.Lower) ? at : good,
            Upper = _wrong == Wrong.DiscoveryTakenAsExact ? new(at.Upper, at.Upper) : at,
            Mode = _phase.Mode,
            Why = why,
            Shown = failure,
            Flagged = leftOut || RestsOn(_spells.Where(s => s != spell), until.To) || RestsOnStart(spell, until.From),
        };
    }

    // "In service: survived to the last reading that showed it working. Removed in working order: survived." A survivor whose
    // age is a range survived to its lower end (decision 0005).
    private Ended Survival()
    {
        var last = _spells.LastOrDefault();
        var seen = _story.Points
            .Where(p => p.Known && _spells.Contains(p.Segment?.Spell!) && (IsGood(p) || p.Role is Role.Removed or Role.BeforeWork))
            .OrderBy(p => _ages.At(p)!.Value.Lower).LastOrDefault();
        var why = last?.Removal?.Why ?? _phase.WithoutInstall?.Why;
        if (last?.Removal is { } removal)
            _story.Reached.Add(removal.Why == Reason.LowOutput ? "low output not measured" : "removed in working order");
        if (_phase.LeftOutBy is not null)
            _story.Reached.Add("excluded by the policy");
        return new()
        {
            Lower = _ages.At(seen),
            Why = why,
            Shown = last is null ? _phase.WithoutInstall : last.EndedBy,
            ByPolicy = _phase.LeftOutBy is not null,
            Flagged = RestsOn(_spells, last?.End?.To ?? long.MaxValue),
            Beyond = _wrong == Wrong.SurvivorCountedToToday && last is { End: null } ? Today - last.Start.From : 0,
            Doubts = last?.Removal?.Why switch
            {
                Reason.LowOutput => [Doubt.UnmeasuredLowOutput],
                Reason.Other => [Doubt.OtherReason],
                _ => [],
            },
        };
    }

    // "Good reading: accepted, before the discovery, from Installed, RunHoursRead, MeterChanged, or OutputMeasured at or above
    // threshold; never from Failed or from Removed for failure."
    private bool IsGood(Point point) =>
        point.Role is Role.Installed or Role.Read or Role.OldMeterEnds or Role.NewMeterBegins
        || (point.Role == Role.Output && (_threshold is null || IsLow(point.Fact) == false))
        || (_wrong == Wrong.RemovalForFailureAsGoodReading && point.Role is Role.Removed or Role.Failed);

    private Span? LastGood(Func<Point, bool> before)
    {
        var ages = _story.Points
            .Where(p => p.Known && _spells.Contains(p.Segment?.Spell!) && IsGood(p)
                && (before(p) || (_wrong == Wrong.RemovalForFailureAsGoodReading && p == _phase.FailureReading)))
            .Select(p => _ages.At(p)!.Value).ToList();
        return ages.Count == 0 ? null : ages.MaxBy(a => a.Lower);
    }

    // Where a day leaves it open, a reading came before the discovery when it shows less.
    private bool IsBeforeFailure(Window when, Point? reading)
    {
        if (_phase.FailedIn is null)
            return true;
        var found = _phase.Failure!.When;
        if (when.To <= found.From && when.From < found.From)
            return true;
        return when.From < found.To && found.From < when.To && reading is { Known: true }
            && _phase.FailureReading is { Known: true } shown && shown.Segment == reading.Segment && reading.Hours < shown.Hours;
    }

    private static bool IsLeftOut(Point? point) => point is { Known: false };

    // "A life is flagged only when its entry, outcome or age at outcome rests on a left-out reading": on the first or last of
    // a segment, or on a reset within it.
    private bool RestsOn(IEnumerable<Spell> spells, long until) =>
        spells.ToList() is var all && (all.Exists(s => RestsOnStart(s, until))
            || _story.Segments.Exists(s => all.Contains(s.Spell) && EndLeftOut(s, until)));

    private bool RestsOnStart(Spell spell, long until)
    {
        var segments = _story.Segments.FindAll(s => s.Spell == spell && s.Start.From <= until);
        return segments.Exists(s => IsLeftOut(s.First)
            || _story.Points.Exists(p => p.Segment == s && p.Piece > 0 && p.When.From <= until)
            || (s != _story.Segments.Last(last => last.Spell == spell) && EndLeftOut(s, until)));
    }

    private static bool EndLeftOut(Segment segment, long until) => IsLeftOut(segment.Last) && segment.Last!.When.From <= until;
}
