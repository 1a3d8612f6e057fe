namespace Reliability.Rules;

/// <summary>"From events to lives": how the life of one phase ended, from which age it counts, why it is left out.</summary>
internal sealed class LifeTeller
{
    /// <summary>What a wrong rule takes for today, hours since the origin: years after every record.</summary>
    public const long Today = 40_000;

    private readonly Story _story;
    private readonly Phase _phase;
    private readonly Asked _asked;
    private readonly Wrong _wrong;
    private readonly Ages _ages;
    private readonly List<Point> _points;
    private readonly long? _threshold;
    private readonly Fact? _registered;
    private readonly long _ageAtStart;
    private readonly Point? _since;

    private LifeTeller(Story story, Phase phase, Asked asked, Wrong wrong)
    {
        (_story, _phase, _asked, _wrong) = (story, phase, asked, wrong);
        _ages = new(story, phase, wrong);
        _points = story.Points.FindAll(p => p.Segment?.Spell.Phase == phase);
        _registered = story.Registration;
        _threshold = ThresholdAtStart();
        if (phase.First && _registered?.Age is { } age && age > 0)
        {
            var registered = story.Points.FindIndex(p => p.Role == Role.Registered && p.Fact.Id == _registered.Id);
            _ageAtStart = age;
            _since = _points.Find(p => story.Points.IndexOf(p) >= registered);
        }
    }

    /// <summary>The life of a phase; none when the module never entered service in it.</summary>
    public static IEnumerable<ToldLife> Of(Story story, Phase phase, Asked asked, Wrong wrong)
    {
        if (phase.Spells.Count == 0 && phase.WithoutInstall.Count == 0)
            yield break;
        var life = new LifeTeller(story, phase, asked, wrong).Tell();
        yield return life;
        for (var again = phase.Ends.Count(f => f.Kind == Kind.Failed && story.Standings.GetValueOrDefault(f.Id) == Standing.Duplicate); again > 0; again--)
            yield return life;
    }

    private ToldLife Tell()
    {
        var known = _asked.Models.ContainsKey(_registered!.Model);
        var life = new ToldLife
        {
            Refurbishments = _phase.Refurbishments,
            By = _phase.By,
            Site = _phase.Spells.FirstOrDefault()?.Install?.Site,
            Host = _phase.Spells.FirstOrDefault()?.Install?.Host,
        };
        if (_phase.Spells.Count == 0)
        {
            var end = _phase.WithoutInstall.Find(f => f.Kind == Kind.Failed || Verdicts(f) == Verdict.Failed);
            return life with
            {
                EndedInFailure = end is not null,
                Mode = end?.Mode,
                Why = _phase.WithoutInstall.FindLast(f => f.Kind == Kind.Removed)?.Why,
                Left = known ? Left.InstallMissing : Left.ModelUnknown,
            };
        }

        var ending = Ending();
        var entry = Entry(ending);
        life = life with
        {
            Entry = entry.Hours,
            EndedInFailure = ending.Failed,
            Mode = ending.Failed ? ending.Mode : null,
            Why = ending.Removal?.Why,
            InService = ending.InService,
            Flagged = ending.Flagged || entry.Flagged,
            Doubts = string.Join(' ', ending.Doubts.Distinct().Order()),
        };
        var lower = Math.Max(ending.Lower, entry.Hours);
        life = !ending.Failed ? life with { End = End.Survived, Lower = lower }
            : ending.Exact || lower >= ending.Upper ? life with { End = End.Failed, Lower = ending.Upper, Upper = ending.Upper }
            : life with { End = End.Between, Lower = lower, Upper = ending.Upper };
        _story.Reached.Add($"life {life.End}".ToLowerInvariant());
        if (life is { End: End.Between } && life.Lower == entry.Hours)
            _story.Reached.Add("failure with nothing known since entry");
        if (entry.Hours > 0)
            _story.Reached.Add("late entry");
        if (life.Flagged)
            _story.Reached.Add("flagged life");
        if (ending.InService)
            _story.Reached.Add("life in service");

        var left = known ? null : (Left?)Left.ModelUnknown;
        left ??= _phase.AfterUnknownWork ? Left.RenewalUnknown : null;
        left ??= entry.Left;
        left ??= ending.ByPolicy ? Left.ByPolicy : null;
        left ??= (life.Upper ?? life.Lower) <= life.Entry ? Left.NoExposure : null;
        return life with { Left = left };
    }

    private long? ThresholdAtStart()
    {
        if (_registered is null || !_asked.Models.TryGetValue(_registered.Model, out var versions))
            return null;
        var start = _phase.Spells.FirstOrDefault()?.Install?.When.From ?? _registered.When.From;
        var found = versions[0];
        foreach (var version in versions.Skip(1).Where(v => v.From <= start))
        {
            found = version;
            _story.Reached.Add("threshold of a later version");
        }

        return found.Percent;
    }

    // A fact ended the life in failure, or did not.
    private Verdict Verdicts(Fact fact) => fact.Kind switch
    {
        Kind.Failed or Kind.Retired => Verdict.Failed,
        Kind.Removed when fact.Why == Reason.LowOutput =>
            _wrong == Wrong.UnmeasuredLowOutputAsFailure ? Verdict.Failed : _asked.UnmeasuredLowOutput,
        Kind.Removed when _wrong == Wrong.PlannedRemovalAsFailure && fact.Why == Reason.Planned => Verdict.Failed,
        Kind.Removed => _asked.On(fact.Why!.Value),
        _ => Verdict.Survived,
    };

    private sealed record Ended
    {
        public bool Failed { get; init; }
        public bool Exact { get; init; }
        public long Lower { get; init; }
        public long Upper { get; init; }
        public bool Flagged { get; init; }
        public string? Mode { get; init; }
        public Fact? Removal { get; init; }
        public bool InService { get; init; }
        public bool ByPolicy { get; init; }
        public List<Doubt> Doubts { get; init; } = [];

        /// <summary>The fact that showed how it ended.</summary>
        public required Fact Shown { get; init; }
    }

    private Ended Ending()
    {
        var terminals = _phase.Ends.FindAll(f => Verdicts(f) == Verdict.Failed);
        var terminal = _wrong == Wrong.LifeGoesOnAfterFailure ? terminals.LastOrDefault() : terminals.FirstOrDefault();
        var stop = terminal is null ? _points.Count : StopOf(terminal);
        var failed = Crossing(stop) ?? (terminal is null ? null : Failure(terminal, stop));
        if (failed is null)
            return Survivor();
        return _asked.Mode is null || failed.Mode == _asked.Mode ? failed : OtherMode(failed);
    }

    // The failures by other modes survived so far.
    private Ended OtherMode(Ended failed)
    {
        _story.Reached.Add("failure by another mode");
        return failed with
        {
            Failed = false,
            Lower = failed.Exact ? failed.Upper : failed.Lower,
            ByPolicy = _wrong == Wrong.OtherModesLeftOut,
            Doubts = failed.Mode is null ? [.. failed.Doubts, Doubt.ModeUnknown] : failed.Doubts,
        };
    }

    // Where in the points of the phase the discovery stands: for a failure on the shelf behind the last before it.
    private int StopOf(Fact terminal)
    {
        var at = _points.FindIndex(p => p.Fact.Id == terminal.Id && p.Role is Role.Failed or Role.Removed);
        return at >= 0 ? at : _points.FindLastIndex(p => p.When.From <= terminal.When.To) + 1;
    }

    private Ended Failure(Fact terminal, int stop)
    {
        var shelf = stop == _points.Count || _points[stop].Fact.Id != terminal.Id;
        var point = shelf ? _points[stop - 1] : _points[stop];
        var spell = point.Segment!.Spell;
        var age = AgeAt(point);
        var good = LastGood(shelf ? stop - 1 : stop);
        var removal = spell.Removal;
        var result = new Ended
        {
            Shown = terminal,
            Failed = true,
            Lower = good.Age,
            Upper = age.Upper,
            Flagged = good.Flagged || age.Flagged,
            Mode = terminal.Kind == Kind.Failed ? terminal.Mode : terminal.Why == Reason.LowOutput ? "output" : null,
            Removal = removal,
            Doubts = removal is null ? [] : DoubtsOf(removal),
        };
        if (shelf || !(terminal.Moment || spell.MeterStops) || _wrong == Wrong.DiscoveryTakenAsExact)
        {
            _story.Reached.Add(terminal.Kind == Kind.Removed ? "removed for failure" : "failure discovered");
            return _wrong == Wrong.DiscoveryTakenAsExact ? result with { Exact = true } : result;
        }

        // Where the meter stopped with the module, what it showed later is what it showed then.
        _story.Reached.Add("failure at its moment");
        if (!point.Known && spell.MeterStops
            && _points.Skip(stop).FirstOrDefault(p => p.Known && p.Segment == point.Segment) is { } later)
        {
            age = AgeAt(later);
        }

        return result with
        {
            Exact = age.IsKnown,
            Lower = Math.Max(age.Lower, good.Age),
            Upper = age.Upper,
            Flagged = age.Flagged || (!age.IsKnown && good.Flagged),
        };
    }

    private bool? IsLow(Fact output) =>
        _threshold is { } least && !output.InUnit ? output.Percent < least : null;

    // "Low output is a failure by the output mode, in (last reading at or above the threshold, first below]".
    private Ended? Crossing(int stop)
    {
        var outputs = _points.Take(stop).Where(p => p.Role == Role.Output && IsLow(p.Fact) is not null).ToList();
        var above = outputs.FindLast(p => IsLow(p.Fact) == false);
        var below = outputs.Skip(above is null ? 0 : outputs.IndexOf(above) + 1).FirstOrDefault();
        if (above is not null && outputs.Take(outputs.IndexOf(above)).Any(p => IsLow(p.Fact) == true))
            _story.Reached.Add("output recovered");
        if (below is null)
            return null;
        _story.Reached.Add("output fell below its threshold");
        var age = AgeAt(below);
        var before = above is null ? default : AgeAt(above);
        var removal = below.Segment!.Spell.Removal;
        return new()
        {
            Shown = below.Fact,
            Failed = true,
            Mode = "output",
            Lower = above is null ? Entry(null).Hours : before.Lower,
            Upper = age.Upper,
            Flagged = age.Flagged || before.Flagged,
            Removal = removal,
        };
    }

    private Ended Survivor()
    {
        var spell = _phase.Spells[^1];
        if (spell.Open || spell.Removal is null)
        {
            var good = LastGood(_points.Count);
            var age = good.Age;
            if (spell.Open && _wrong == Wrong.SurvivorCountedToToday)
                age += Today - good.Point.When.From;
            return new() { Shown = good.Point.Fact, Lower = age, Flagged = good.Flagged, InService = spell.Open };
        }

        var removal = spell.Removal;
        var at = AgeAt(_points.FindLast(p => p.Role == Role.Removed)!);
        var verdict = Verdicts(removal);
        _story.Reached.Add(removal.Why == Reason.LowOutput ? "low output not measured" : "removed in working order");
        if (verdict == Verdict.Excluded)
            _story.Reached.Add("excluded by the policy");
        return new()
        {
            Shown = removal,
            Lower = at.Lower,
            Flagged = at.Flagged,
            Removal = removal,
            ByPolicy = verdict == Verdict.Excluded,
            Doubts = DoubtsOf(removal),
        };
    }

    private static List<Doubt> DoubtsOf(Fact removal) => removal.Why switch
    {
        Reason.LowOutput => [Doubt.UnmeasuredLowOutput],
        Reason.Other => [Doubt.OtherReason],
        _ => [],
    };

    // "Good reading: accepted, before the discovery, from Installed, RunHoursRead, MeterChanged, or OutputMeasured at or above
    // threshold; never from Failed or from Removed for failure."
    private bool IsGood(Point point) =>
        point.Role is Role.Installed or Role.Read or Role.OldMeterEnds or Role.NewMeterBegins
        || (point.Role == Role.Output && IsLow(point.Fact) != true)
        || (_wrong == Wrong.RemovalForFailureAsGoodReading && point.Role is Role.Removed or Role.Failed);

    private (long Age, bool Flagged, Point Point) LastGood(int stop)
    {
        var before = _points.Take(stop + (_wrong == Wrong.RemovalForFailureAsGoodReading ? 1 : 0)).Where(IsGood).ToList();
        var good = before.FindLast(p => p.Known);
        if (good is null)
        {
            _story.Reached.Add("no good reading");
            return (Entry(null).Hours, before.Exists(p => p.LeftOut), _points[0]);
        }

        var age = AgeAt(good);
        var later = before.Skip(before.IndexOf(good) + 1).Any(p => p.LeftOut);
        return (age.Lower, age.Flagged || later, good);
    }

    // The age stated at registration is the age then: hours of a spell that had begun before do not add to it.
    private Age AgeAt(Point point)
    {
        var age = _ages.At(point, _since);
        return age with { Lower = age.Lower + _ageAtStart, Upper = age.Upper + _ageAtStart };
    }

    // "A life counts from the age at which observation began"; "unknown, or begun before and not stated: excluded and
    // counted, never 0".
    private (long Hours, Left? Left, bool Flagged) Entry(Ended? ending)
    {
        if (!_phase.First || _registered is null)
            return (0, null, false);
        var opened = ending is not null && _wrong != Wrong.OpenedAfterOutcomeAdmitted
            && _registered.When.From >= ending.Shown.When.From;
        var left = opened ? LeftBecauseOpenedLate(ending!.Shown) : null;
        if (_registered.Age is not { } stated)
            return (0, left ?? Left.EntryAgeUnknown, false);
        if (_wrong == Wrong.LateEntryAsZero)
            return (0, left, false);
        var begun = _points.Count > 0 && _points[0].When.From < _registered.When.From && _points[0].Role == Role.Installed
            && _points[0].Fact.Kind == Kind.Installed;
        if (stated > 0 || !begun)
            return (stated, left, false);
        if (opened)
            return (0, left ?? (_points[0].When.From < _registered.CompleteFrom ? Left.EntryAgeUnknown : null), false);

        // Decision 0005: registered at age 0 but fitted before, the life counts from the first reading after.
        _story.Reached.Add("fitted before it was registered");
        var first = _points.Find(p => p.Known && p.When.From >= _registered.When.From);
        if (first is null)
            return (0, left ?? Left.NoExposure, false);
        var age = AgeAt(first);
        return (age.Upper, left, age.Flagged);
    }

    private Left? LeftBecauseOpenedLate(Fact shown)
    {
        _story.Reached.Add("opened after the outcome");
        if (_registered!.CompleteFrom is not { } complete)
            return Left.OpenedAfterOutcome;
        _story.Reached.Add("opened after the outcome, complete from a date");
        return shown.When.To <= complete ? Left.EndedBeforeComplete : null;
    }
}
