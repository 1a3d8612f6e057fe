namespace Reliability.Rules;

/// <summary>
/// "Meters": the largest set of readings that is consistent in order and in pace, by trying every set; at equal size the one
/// with more spell-end readings, then the earlier. Three or more that were left out in a row and fit each other are a
/// suspected reset.
/// </summary>
internal static class Fitting
{
    /// <summary>The most hours that can pass from one time to the next: the longest time the precisions allow.</summary>
    public static long Clock(Window one, Window next) => Math.Max(0, next.To - one.From);

    /// <summary>Marks which points of each meter count.</summary>
    public static void Mark(Story story, Wrong wrong)
    {
        foreach (var meter in story.Points.GroupBy(p => p.Meter))
        {
            var points = meter.OrderBy(p => p.When.From).ThenBy(p => p.Fact.Kind)
                .ThenBy(p => p.Fact.Id, StringComparer.Ordinal).ThenBy(p => p.Hours).ToList();
            var kept = wrong == Wrong.MistypedHighReadingKept ? NeverFalling(points) : Largest(points, story);
            Settle(kept, 0);
            if (kept.Count == points.Count)
                continue;
            story.Reached.Add("reading left out");
            var piece = 0;
            for (var at = 0; at < points.Count; at++)
            {
                var row = points.Skip(at).TakeWhile(p => !kept.Contains(p)).ToList();
                at += row.Count;
                if (row.Count < 3 || Largest(row, story) is not { Count: >= 3 } own)
                    continue;
                story.Reached.Add("suspected reset");
                Settle(own, ++piece);
            }
        }
    }

    private static List<Point> NeverFalling(List<Point> points)
    {
        var kept = new List<Point>();
        foreach (var point in points.Where(p => kept.Count == 0 || p.Hours >= kept[^1].Hours))
            kept.Add(point);
        return kept;
    }

    private static void Settle(List<Point> kept, int piece)
    {
        long taken = long.MinValue, hours = 0;
        foreach (var point in InOrderOfHours(kept))
        {
            taken = taken == long.MinValue ? point.When.From : Math.Max(point.When.From, taken + point.Hours - hours);
            (point.Taken, point.Piece, hours) = (taken, piece, point.Hours);
        }
    }

    private static List<Point> Largest(List<Point> points, Story story)
    {
        List<Point> best = [];
        var tie = false;
        Try(0, []);
        story.LeftOpen |= tie;
        return best;

        void Try(int at, List<Point> set)
        {
            if (set.Count + points.Count - at < best.Count || !Consistent(set))
                return;
            if (at < points.Count)
            {
                Try(at + 1, [.. set, points[at]]);
                Try(at + 1, set);
                return;
            }

            var better = Compare(set, best);
            tie = better == 0 || (better < 0 && tie);
            if (better > 0)
                best = set;
        }
    }

    private static int Compare(List<Point> one, List<Point> other) =>
        (one.Count, one.Count(IsEnd), -one.Sum(Middle)).CompareTo((other.Count, other.Count(IsEnd), -other.Sum(Middle)));

    private static bool IsEnd(Point point) => point.Role is not (Role.Read or Role.Output or Role.Failed);

    private static long Middle(Point point) => point.When.From + point.When.To;

    // Whether one meter can have shown them all: they are taken in order of hours, each as early as its time and the hours
    // since the one before allow, and none comes too late; and what certainly came first shows no more.
    private static bool Consistent(List<Point> set)
    {
        long? taken = null;
        long hours = 0;
        foreach (var point in InOrderOfHours(set))
        {
            taken = Math.Max(point.When.From, (taken + point.Hours - hours) ?? long.MinValue);
            if (taken > point.When.To)
                return false;
            hours = point.Hours;
        }

        return set.TrueForAll(one => set.TrueForAll(next => !CertainlyFirst(one, next) || one.Hours <= next.Hours));
    }

    private static IEnumerable<Point> InOrderOfHours(List<Point> set) =>
        set.OrderBy(p => p.Hours).ThenBy(p => p.When.From).ThenBy(p => p.When.To);

    // The order in which things happened holds for what the meter showed then, also within a day.
    private static bool CertainlyFirst(Point one, Point next)
    {
        if (one.Step is { } step && next.Step is { } nextStep)
            return step < nextStep;
        if (one.Segment is { } segment && next.Segment is { } nextSegment)
        {
            return segment == nextSegment ? one == segment.First || next == segment.Last : segment.Number < nextSegment.Number;
        }

        return false;
    }
}
