using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>An accepted reading and the run-hours of its phase up to it.</summary>
internal readonly record struct AgePoint(ReadingItem Item, HoursRange Hours, SpellDraft Spell);

/// <summary>
/// Adds up run-hours over the spells and segments of a phase. Where a reading is missing the hours are a range: from none to
/// what the neighbouring readings and the time between allow.
/// </summary>
internal sealed class AgeWalk
{
    private readonly Dictionary<SpellDraft, SpellHours> _spells = [];
    private readonly Dictionary<ReadingItem, HoursRange> _at;
    private HoursRange _hours = HoursRange.Known(0);

    // Hours that may have passed unread since a reading: gaps on one meter share what it moved until it was read again.
    private readonly Dictionary<ReadingItem, double> _unreadSince = [];

    private AgeWalk(Phase phase)
    {
        var accepted = phase.Spells.SelectMany(spell => spell.Segments).Sum(segment => segment.Accepted.Count);
        (_at, Points) = (new(accepted), new(accepted));
        foreach (var spell in phase.Spells)
        {
            var (from, first) = (_hours, Points.Count);
            foreach (var segment in spell.Segments)
                Add(segment);
            _spells[spell] = new(from, _hours, first, Points.Count);
        }
    }

    /// <summary>Accepted readings in order of time.</summary>
    public List<AgePoint> Points { get; }

    /// <summary>Run-hours of the whole phase.</summary>
    public HoursRange End => _hours;

    public static AgeWalk Over(Phase phase) => new(phase);

    public HoursRange AtStart(SpellDraft spell) => _spells[spell].Start;

    public HoursRange AtEnd(SpellDraft spell) => _spells[spell].End;

    /// <summary>Run-hours at an accepted reading; null for one that is left out or was taken outside every spell.</summary>
    public HoursRange? At(ReadingItem? item) =>
        item is not null && _at.TryGetValue(item, out var hours) ? hours : null;

    public ReadOnlySpan<AgePoint> PointsOf(SpellDraft spell)
    {
        var hours = _spells[spell];
        return System.Runtime.InteropServices.CollectionsMarshal.AsSpan(Points)[hours.From..hours.To];
    }

    /// <summary>Whether hours were asked for between readings of a spell that goes on: its next readings may change the answer.</summary>
    public bool Interpolated { get; private set; }

    /// <summary>Run-hours at a time within a spell, from the readings around it.</summary>
    public HoursRange During(SpellDraft spell, DateTimeOffset earliest, DateTimeOffset latest)
    {
        Interpolated |= spell.IsOpen;
        var start = AtStart(spell);
        var lower = start.LowerHours;
        var upper = Grown(start, spell.Start.Earliest, latest);
        if (spell.End is not null)
            upper = Math.Min(upper, Upper(AtEnd(spell)));
        foreach (var point in PointsOf(spell))
        {
            var reading = point.Item.Reading;
            if (reading.Latest <= earliest)
                lower = Math.Max(lower, point.Hours.LowerHours);
            if (reading.Earliest <= latest)
                upper = Math.Min(upper, Grown(point.Hours, reading.Earliest, latest));
            if (reading.Earliest >= latest)
            {
                upper = Math.Min(upper, Upper(point.Hours));
                lower = Math.Max(lower, point.Hours.LowerHours - ReadingItem.LongestHours(earliest, reading.Latest));
            }
        }

        return new(lower, Math.Max(lower, upper));
    }

    public static double Upper(HoursRange hours) => hours.UpperHours ?? double.PositiveInfinity;

    /// <summary>What a meter moved between two readings of one piece.</summary>
    public static HoursRange Moved(double from, double to) => HoursRange.Known(Math.Max(0, to - from));

    private static double Grown(HoursRange hours, DateTimeOffset from, DateTimeOffset to) =>
        Upper(hours) + ReadingItem.LongestHours(from, to);

    private void Add(Segment segment)
    {
        if (segment.Accepted.Count == 0)
        {
            if (segment.End is { } end)
            {
                var (before, after) = segment.Run.Around(segment.Start.Earliest, end.Latest);
                AddUnread(before, Moved(before, after), ReadingItem.LongestHours(segment.Start.Earliest, end.Latest));
            }

            return;
        }

        ReadingItem? previous = null;
        foreach (var item in segment.Accepted)
        {
            if (previous is not null)
                _hours += Between(previous, item);
            else if (segment.First is not { Accepted: true })
                AddStart(segment, item);
            Points.Add(new(item, _hours, segment.Spell));
            _at[item] = _hours;
            previous = item;
        }

        if (segment.End is { } closed && segment.Last is not { Accepted: true })
        {
            var moved = Moved(previous, Neighbour(segment, previous!, 1));
            AddUnread(previous, moved, ReadingItem.LongestHours(previous!.Reading.Earliest, closed.Latest));
        }
    }

    private static HoursRange UpTo(double hours) => new(0, hours);

    private static HoursRange Between(ReadingItem one, ReadingItem next) =>
        one.Piece == next.Piece
            ? Moved(one.Hours, next.Hours)
            : UpTo(ReadingItem.LongestHours(one.Reading.Earliest, next.Reading.Latest));

    // A meter starts at 0 or above: what ran before its first reading cannot be more than that reading.
    private void AddStart(Segment segment, ReadingItem first)
    {
        var before = Neighbour(segment, first, -1);
        AddUnread(
            before,
            before is null ? first.Hours : Moved(before, first),
            ReadingItem.LongestHours(segment.Start.Earliest, first.Reading.Latest));
    }

    private static double Moved(ReadingItem? before, ReadingItem? after) =>
        before is not null && after is not null && before.Piece == after.Piece
            ? Math.Max(0, after.Hours - before.Hours)
            : double.PositiveInfinity;

    private void AddUnread(ReadingItem? since, double moved, double time)
    {
        var already = since is null ? 0 : _unreadSince.GetValueOrDefault(since);
        var hours = Math.Min(Math.Max(0, moved - already), time);
        if (since is not null)
            _unreadSince[since] = already + hours;
        _hours += UpTo(hours);
    }

    // The reading of the same piece of the meter's run that was taken next before or after, outside the segment.
    private static ReadingItem? Neighbour(Segment segment, ReadingItem item, int step)
    {
        var run = segment.Run.Accepted;
        var index = item.Index + step;
        return index >= 0 && index < run.Count && run[index].Piece == item.Piece && run[index].Segment != segment
            ? run[index]
            : null;
    }

    private readonly record struct SpellHours(HoursRange Start, HoursRange End, int From, int To);
}
