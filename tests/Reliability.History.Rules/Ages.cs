namespace Reliability.Rules;

/// <summary>Hours as a range, both ends possible.</summary>
internal readonly record struct Span(long Lower, long Upper)
{
    public bool IsKnown => Lower == Upper;

    public static Span operator +(Span one, Span other) => new(one.Lower + other.Lower, one.Upper + other.Upper);
}

/// <summary>
/// "Age = age at the life's start + sum over segments of (last - first reading). Where a reading is missing age is a range":
/// from nothing to what the clock and the meter's readings around the gap allow. Counts from 0 at the phase's start.
/// </summary>
internal sealed class Ages
{
    private readonly Wrong _wrong;
    private readonly Dictionary<Spell, (Span Start, Span End)> _spells = [];
    private readonly Dictionary<Point, Span> _at = [];

    // Hours that may have passed unread on a meter, and the last reading before them.
    private readonly Dictionary<string, (Point? Since, long Hours)> _unread = [];
    private Span _age;

    public Ages(Story story, Phase phase, Wrong wrong)
    {
        _wrong = wrong;
        foreach (var spell in phase.Spells)
        {
            var start = _age;
            foreach (var segment in story.Segments.Where(s => s.Spell == spell))
                Add(story, segment);
            _spells[spell] = (start, _age);
        }
    }

    public Span AtStart(Spell spell) => _spells[spell].Start;

    public Span AtEnd(Spell spell) => _spells[spell].End;

    /// <summary>The age at a reading that counts.</summary>
    public Span? At(Point? point) => point is not null && _at.TryGetValue(point, out var age) ? age : null;

    /// <summary>The age at a time of a spell at which nobody read the meter: what the readings around and the clock allow.</summary>
    public Span AtTime(Spell spell, Window when)
    {
        var (start, end) = _spells[spell];
        var lower = start.Lower;
        var upper = start.Upper + Fitting.Clock(spell.Start, when);
        if (spell.End is not null)
            upper = Math.Min(upper, end.Upper);
        foreach (var (point, age) in _at.Where(p => p.Key.Segment!.Spell == spell))
        {
            if (point.When.To <= when.From)
                lower = Math.Max(lower, age.Lower);
            if (point.When.From >= when.To)
                (lower, upper) = (Math.Max(lower, age.Lower - Fitting.Clock(when, point.When)), Math.Min(upper, age.Upper));
            if (point.When.From <= when.To)
                upper = Math.Min(upper, age.Upper + Fitting.Clock(point.When, when));
        }

        return new(lower, Math.Max(lower, upper));
    }

    private void Add(Story story, Segment segment)
    {
        var points = Sorted(story.Points.Where(p => p.Segment == segment));
        if (points.Count == 0)
        {
            if (segment.End is { } end)
                Unread(story, segment, segment.Start, end, null, null);
            return;
        }

        if (_wrong == Wrong.HostHoursBeforeInstallCounted && segment.Spell.OnHostMeter)
            _age += new Span(points[0].Hours, points[0].Hours);
        if (segment.First is not { Known: true })
            Unread(story, segment, segment.Start, points[0].When, points[0], null);
        for (var i = 0; i < points.Count; i++)
        {
            if (i > 0)
            {
                var (one, next) = (points[i - 1], points[i]);
                _age += one.Piece == next.Piece ? new Span(next.Hours - one.Hours, next.Hours - one.Hours)
                    : new Span(0, Fitting.Clock(one.When, next.When));
            }

            _at[points[i]] = _age;
        }

        if (segment is { End: { } ended } && segment.Last is not { Known: true })
            Unread(story, segment, points[^1].When, ended, null, points[^1]);
    }

    // Hours that nobody read: before the first reading of a segment, behind its last, or in a segment without any. All that
    // passes unread between two readings of a meter is no more than they differ by; before its first, no more than that shows.
    private void Unread(Story story, Segment segment, Window from, Window to, Point? first, Point? last)
    {
        story.Reached.Add("age as a range");
        if (_wrong == Wrong.MissingReadingTakenAsNoHours)
            return;
        var known = Sorted(story.Points.Where(p => p.Meter == segment.Meter));
        var before = last ?? (first is null ? known.FindLast(p => p.When.To <= from.From) : known[..known.IndexOf(first)].LastOrDefault());
        var after = first ?? (last is null ? known.Find(p => p.When.From >= to.To) : known[(known.IndexOf(last) + 1)..].FirstOrDefault());
        var already = _unread.TryGetValue(segment.Meter, out var unread) && unread.Since == before ? unread.Hours : 0;
        var most = Fitting.Clock(from, to);
        if (before is not null && after is not null && before.Piece == after.Piece)
            most = Math.Min(most, after.Hours - before.Hours - already);
        else if (first is not null)
            most = Math.Min(most, first.Hours);
        _age += new Span(0, Math.Max(0, most));
        _unread[segment.Meter] = (before, already + Math.Max(0, most));
    }

    // Of points that show the same at the same time those of an earlier segment come first, and what was taken on the bench
    // between two segments lies between them (decision 0005).
    private static List<Point> Sorted(IEnumerable<Point> points) =>
    [
        .. points.Where(p => p.Known).OrderBy(p => p.Taken).ThenBy(p => p.Hours)
            .ThenBy(p => p.Segment is { } segment ? (segment.Number * 2) + 1 : p.SegmentsBefore * 2)
            .ThenBy(p => p.Role).ThenBy(p => p.When.From).ThenBy(p => p.When.To),
    ];
}
