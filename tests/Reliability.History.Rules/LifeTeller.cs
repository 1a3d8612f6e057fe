namespace Reliability.Rules;

/// <summary>"From events to lives": what became of the life of one phase.</summary>
internal sealed class LifeTeller
{
    private readonly Story _story;
    private readonly Phase _phase;
    private readonly Asked _asked;
    private readonly Wrong _wrong;
    private readonly Fact _registered;
    private readonly Ages _ages;
    private readonly List<Spell> _spells;
    private readonly Window _start;

    private LifeTeller(Story story, Phase phase, Asked asked, Wrong wrong)
    {
        (_story, _phase, _asked, _wrong, _registered) = (story, phase, asked, wrong, story.Registration);
        _ages = new(story, phase, wrong);
        _spells = phase.Spells.FindAll(s => !s.AfterLife);
        _start = _spells.FirstOrDefault()?.Start ?? phase.Renewal?.When ?? _registered.When;
    }

    /// <summary>The life of a phase; none when the module never entered service in it.</summary>
    public static IEnumerable<ToldLife> Of(Story story, Phase phase, Asked asked, Wrong wrong)
    {
        if (phase.Spells.Count == 0 && phase.WithoutInstall is null)
            yield break;
        var life = new LifeTeller(story, phase, asked, wrong).Tell();
        yield return life;
        for (var n = wrong == Wrong.DuplicateFailureCountedTwice ? phase.Repetitions : 0; n > 0; n--)
            yield return life;
    }

    private ToldLife Tell()
    {
        var ended = Endings.Of(_story, _phase, _spells, _ages, Threshold(), _asked, _wrong);
        if (ended.Failed && _asked.Mode is not null && ended.Mode != _asked.Mode)
        {
            _story.Reached.Add("failure by another mode");
            ended.OtherMode(_wrong);
        }

        var entry = Entry.Of(_story, _phase, _spells, _ages, ended, _start, _wrong);
        var life = new ToldLife
        {
            // The condition is stated as of the registration: work recorded before it is taken off again.
            Refurbishments = Math.Max(0, _registered.Refurbishments - _story.RegisteredPhase) + _phase.Number,
            By = _phase.Number > 0 ? _phase.By : _story.RegisteredPhase == 0 ? _registered.By : null,
            Site = _spells.FirstOrDefault()?.Install?.Site,
            Host = _spells.FirstOrDefault()?.Install?.Host,
            Entry = entry.Hours,
            EndedInFailure = ended.Failed,
            Mode = ended.Failed ? ended.Mode : null,
            Why = ended.Why,
            InService = !ended.Failed && !ended.ByPolicy && !ended.WasFailure && _phase.ClosedBy is null
                && _phase.Spells.LastOrDefault() is { End: null },
            Flagged = ended.Flagged,
            Doubts = string.Join(' ', ended.Doubts.Distinct().Order()),
        };
        life = WithAge(life, ended, entry);
        Note(life);

        var left = !_asked.Models.ContainsKey(_registered.Model) ? Left.ModelUnknown
            : _phase.Spells.Count == 0 ? Left.InstallMissing
            : _phase.AfterUnknownWork ? Left.RenewalUnknown
            : entry.LeftOut ?? (ended.ByPolicy ? Left.ByPolicy
            : life.End is null ? Left.AgeUnknown
            : (life.Upper ?? life.Lower) <= life.Entry ? Left.NoExposure : null);
        return life with { Left = left };
    }

    private static ToldLife WithAge(ToldLife life, Ended ended, Entry entry)
    {
        var lower = ended.Lower is { } seen ? entry.Age(seen).Lower : entry.Hours;
        if (ended.WasFailure && ended.Upper is null)
            return life;
        if (!ended.WasFailure)
            return life with { End = End.Survived, Lower = lower + ended.Beyond };
        var age = entry.Age(ended.Upper!.Value);
        lower = Math.Min(Math.Max(lower, entry.Hours), age.Upper);
        var exact = (ended.Exact && age.IsKnown) || lower == age.Upper;
        return !ended.Failed ? life with { End = End.Survived, Lower = exact ? age.Upper : lower }
            : exact ? life with { End = End.Failed, Lower = age.Upper, Upper = age.Upper }
            : life with { End = End.Between, Lower = lower, Upper = age.Upper };
    }

    private void Note(ToldLife life)
    {
        _story.Reached.Add($"life {life.End?.ToString() ?? "without an age"}".ToLowerInvariant());
        if (life.Entry > 0)
            _story.Reached.Add("late entry");
        if (life.Flagged)
            _story.Reached.Add("flagged life");
        if (life.InService)
            _story.Reached.Add("life in service");
        if (life.End == End.Between && life.Lower == life.Entry)
            _story.Reached.Add("failure with nothing known since entry");
    }

    // "Threshold in force at the life's start; a model's first version holds from the beginning".
    private long? Threshold()
    {
        if (!_asked.Models.TryGetValue(_registered.Model, out var versions))
            return null;
        var later = versions.Skip(1).Where(v => v.From <= _start.From).ToList();
        if (later.Count > 0)
            _story.Reached.Add("threshold of a later version");
        return later.Count > 0 ? later.MaxBy(v => v.From).Percent : versions[0].Percent;
    }
}
