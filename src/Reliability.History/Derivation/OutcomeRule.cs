using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>Decides how the life of a phase ended: failed, survived, or between two ages.</summary>
internal sealed class OutcomeRule
{
    private readonly Phase _phase;
    private readonly AgeWalk _ages;
    private readonly OutcomePolicy _policy;
    private readonly List<SpellDraft> _spells;
    private readonly OutputRule _output;

    // The first spell that ended for low output, where the policy lets the statement alone end a life.
    private readonly SpellDraft? _statedLow;
    private readonly SortedSet<RecordOddity> _flags = [];

    private OutcomeRule(Phase phase, AgeWalk ages, OutputThreshold? threshold, OutcomePolicy policy, Ledger ledger)
    {
        (_phase, _ages, _policy) = (phase, ages, policy);
        _spells = [.. phase.Spells.Where(spell => !spell.AfterLife)];
        _statedLow = StatedLow();
        var marks = UpToStatedLow().SelectMany(s => s.Segments).SelectMany(s => s.Outputs)
            .Where(mark => phase.Failure is not { } failure || IsBefore(mark.Event.Occurrence, mark.Reading, failure))
            .OrderBy(mark => mark.Event.Occurrence.Earliest).ThenBy(mark => mark.Event.EventId).ToList();
        _output = new(marks, threshold, ledger);
    }

    public static OutcomeDraft Of(
        Phase phase, AgeWalk ages, OutputThreshold? threshold, OutcomePolicy policy, Ledger ledger)
    {
        var rule = new OutcomeRule(phase, ages, threshold, policy, ledger);
        var outcome = rule.ByLowOutput() ?? rule.ByUnmeasuredLowOutput() ?? rule.ByFailure() ?? rule.BySurvival();
        return outcome with { Flags = [.. rule._flags] };
    }

    private OutcomeDraft? ByLowOutput()
    {
        var verdict = _policy.On(RemovalReason.LowOutput);
        if (_output.FirstLow is not { } low || verdict == OutcomeVerdict.Survived)
            return null;

        var lower = _output.LastGood is { } good ? At(good) : (HoursRange?)null;
        var upper = At(low);
        RestOn(_spells, low.Event.Occurrence.Latest);
        return new()
        {
            Kind = OutcomeKind.Between,
            Lower = lower,
            Upper = upper,
            Event = low.Event,
            Known = low.Event.Occurrence,
            Mode = FailureModes.Output,
            Reason = _spells[^1].Removal?.Reason,
            ExcludedByPolicy = verdict == OutcomeVerdict.Excluded,
        };
    }

    private OutcomeDraft? ByFailure()
    {
        if (_phase.Failure is not { } failure)
            return null;

        var spell = failure.Spell ?? _spells.LastOrDefault();
        var draft = new OutcomeDraft
        {
            Kind = OutcomeKind.Between,
            Event = failure.Event,
            Known = failure.Event.Occurrence,
            Mode = failure.Mode,
            Reason = spell?.Removal?.Reason ?? (failure.Event.Body as RemovedV1)?.Reason,
        };
        if (spell is null)
            return draft;

        var lower = LastGood(item => IsBefore(item, failure));
        if (failure.Spell is null)
        {
            // On the shelf: it had failed by the removal, or it would have shown working then.
            RestOn(_spells, failure.Event.Occurrence.Latest);
            return draft with { Lower = lower, Upper = _ages.AtEnd(spell) };
        }

        RestOn(_spells.Where(s => s != spell), failure.Event.Occurrence.Latest);
        RestOnStart(spell, failure.Event.Occurrence.Earliest);
        var found = Discovery(spell, failure);
        var exact = failure.IsMoment || spell.MeterStopsAtFailure;
        return exact && found.IsKnown
            ? draft with { Kind = OutcomeKind.Failed, Lower = found, Upper = found }
            : draft with { Lower = exact ? Greater(lower, found) : lower, Upper = found };
    }

    private OutcomeDraft? ByUnmeasuredLowOutput()
    {
        var upTo = UpToStatedLow();
        if (_statedLow is not { } spell || (_phase.Failure?.Spell is { } failedIn && upTo.Contains(failedIn)))
            return null;

        RestOn(upTo, spell.End!.Latest);
        return new()
        {
            Kind = OutcomeKind.Between,
            Lower = LastGood(item => upTo.Contains(item.Segment!.Spell)),
            Upper = _ages.AtEnd(spell),
            Event = spell.EndEvent,
            Known = spell.End,
            Mode = FailureModes.Output,
            Reason = RemovalReason.LowOutput,
            ExcludedByPolicy = _policy.UnmeasuredLowOutput == OutcomeVerdict.Excluded,
            Ambiguities = [LifeAmbiguity.UnmeasuredLowOutput],
        };
    }

    private SpellDraft? StatedLow() =>
        _policy.UnmeasuredLowOutput == OutcomeVerdict.Survived || _policy.On(RemovalReason.LowOutput) == OutcomeVerdict.Survived
            ? null
            : _spells.Find(s => s.Removal?.Reason == RemovalReason.LowOutput);

    private List<SpellDraft> UpToStatedLow() =>
        _statedLow is null ? _spells : _spells[..(_spells.IndexOf(_statedLow) + 1)];

    private OutcomeDraft BySurvival()
    {
        var last = _spells.LastOrDefault();
        AgePoint? seen = null;
        foreach (var point in _ages.Points)
        {
            if (!point.Spell.AfterLife && ShowsWorking(point.Item)
                && (seen is not { } best || point.Hours.LowerHours >= best.Hours.LowerHours))
                seen = point;
        }

        if (last is not null)
            RestOn(_spells, last.End?.Latest ?? DateTimeOffset.MaxValue);
        var reason = last?.Removal?.Reason;
        return new()
        {
            Kind = OutcomeKind.Survived,
            Lower = seen?.Hours,
            Event = last?.EndEvent ?? seen?.Item.Event ?? _phase.WithoutInstall,
            Known = last is null ? _phase.WithoutInstall?.Occurrence : last.End,
            Reason = reason ?? (_phase.WithoutInstall?.Body as RemovedV1)?.Reason,
            ExcludedByPolicy = _phase.ExcludedBy is not null,
            Ambiguities = reason switch
            {
                RemovalReason.LowOutput => [LifeAmbiguity.UnmeasuredLowOutput],
                RemovalReason.Other => [LifeAmbiguity.OtherReason],
                _ => [],
            },
        };
    }

    private HoursRange At(OutputMark mark)
    {
        if (_ages.At(mark.Reading) is { } hours)
            return hours;
        if (mark.Reading is not null)
            _flags.Add(RecordOddity.ReadingLeftOut);
        var spell = _spells.First(s => s.Segments.Exists(segment => segment.Outputs.Contains(mark)));
        if (mark.OnShelf)
            return _ages.AtEnd(spell);
        return _ages.During(spell, mark.Event.Occurrence.Earliest, mark.Event.Occurrence.Latest);
    }

    // Run-hours when the failure was found. A meter that stops with the module still shows them at the removal.
    private HoursRange Discovery(SpellDraft spell, FailureDraft failure)
    {
        if (_ages.At(failure.Reading) is { } hours)
            return hours;
        if (spell.MeterStopsAtFailure && _ages.At(spell.Segment.Last) is { } removal)
            return removal;
        if (failure.Reading is not null)
            _flags.Add(RecordOddity.ReadingLeftOut);
        return _ages.During(spell, failure.Event.Occurrence.Earliest, failure.Event.Occurrence.Latest);
    }

    private HoursRange? LastGood(Func<ReadingItem, bool> isBefore)
    {
        HoursRange? last = null;
        foreach (var point in _ages.Points)
        {
            if (!point.Spell.AfterLife && IsGood(point.Item) && isBefore(point.Item))
                last = Greater(last, point.Hours);
        }

        return last;
    }

    private static HoursRange Greater(HoursRange? one, HoursRange other) =>
        one is { } present && present.LowerHours > other.LowerHours ? present : other;

    private bool IsGood(ReadingItem item) => item.Kind switch
    {
        ReadingKind.Installed or ReadingKind.Read or ReadingKind.MeterFirst or ReadingKind.MeterFinal => true,
        ReadingKind.Output => _output.ShowsWorking(item.Event),
        _ => false,
    };

    // A module that is taken out or worked on without having failed was working then.
    private bool ShowsWorking(ReadingItem item) =>
        IsGood(item) || item.Kind is ReadingKind.Removed or ReadingKind.BeforeWork;

    private static bool IsBefore(ReadingItem item, FailureDraft failure) =>
        item.Order is { } order
            ? order < failure.Order
            : IsBefore(new() { Earliest = item.Reading.Earliest, Latest = item.Reading.Latest, Precision = TimePrecision.Day }, item, failure);

    // Where a day leaves it open, a reading came before the discovery when it shows less.
    private static bool IsBefore(Occurrence when, ReadingItem? reading, FailureDraft failure)
    {
        if (failure.Spell is null)
            return true;
        var found = failure.Event.Occurrence;
        if (Ordering.CertainlyBefore(when, found))
            return true;
        return when.Earliest < found.Latest && found.Earliest < when.Latest
            && reading is { Accepted: true, Segment: { } segment }
            && failure.Reading is { Accepted: true } shown
            && shown.Segment == segment && reading.Hours < shown.Hours;
    }

    // The age rests on the first and last readings of the segments passed, and on no reset among them.
    private void RestOn(IEnumerable<SpellDraft> spells, DateTimeOffset until)
    {
        foreach (var spell in spells)
        {
            RestOnStart(spell, until);
            foreach (var segment in spell.Segments)
            {
                if (segment.Last is { Accepted: false } last && last.Reading.Earliest <= until)
                    _flags.Add(RecordOddity.ReadingLeftOut);
            }
        }
    }

    private void RestOnStart(SpellDraft spell, DateTimeOffset until)
    {
        foreach (var segment in spell.Segments.Where(s => s.Start.Earliest <= until))
        {
            if (segment.First is { Accepted: false })
                _flags.Add(RecordOddity.ReadingLeftOut);
            if (segment != spell.Segment && segment.Last is { Accepted: false } last && last.Reading.Earliest <= until)
                _flags.Add(RecordOddity.ReadingLeftOut);
            if (segment.Readings.Exists(r => r.Piece > 0 && r.Reading.Earliest <= until))
                _flags.Add(RecordOddity.SuspectedReset);
        }
    }
}
