namespace Reliability.Rules;

/// <summary>
/// "Meters": the largest set of readings that is consistent in order and in pace, by trying every set; at equal size the one
/// with more spell-end readings, then the earlier. What is left out in a row of three or more and fits itself is a suspected
/// reset.
/// </summary>
internal static class Fitting
{
    /// <summary>Marks which points of each meter fit. Returns how many do.</summary>
    public static int Mark(Story story, Wrong wrong)
    {
        var fitting = 0;
        foreach (var meter in story.Points.Where(p => p.Hours is not null).GroupBy(p => p.Meter))
        {
            var points = meter.ToList();
            var chosen = wrong == Wrong.MistypedHighReadingKept ? Greedy(points) : Largest(points);
            foreach (var point in points)
                (point.Fits, point.Reset) = (chosen.Contains(point), false);
            fitting += chosen.Count(p => p.Segment is not null);
            MarkResets(points, story);
        }

        return fitting;
    }

    /// <summary>Whether a meter can have shown both, the one before the other.</summary>
    public static bool Consistent(Point one, Point next) =>
        next.Hours >= one.Hours && next.Hours - one.Hours <= Clock(one, next);

    /// <summary>The most hours that can pass from one point to the next: the longest time the precisions allow.</summary>
    public static long Clock(Point one, Point next) => Math.Max(0, next.When.To - one.When.From);

    private static List<Point> Greedy(List<Point> points)
    {
        var kept = new List<Point>();
        foreach (var point in points)
        {
            if (kept.Count == 0 || point.Hours >= kept[^1].Hours)
                kept.Add(point);
        }

        return kept;
    }

    private static List<Point> Largest(List<Point> points)
    {
        List<Point> best = [];
        Try(0, []);
        return best;

        // Tries the sets that hold a point before those that do not, so that of equal ones the earlier comes first.
        void Try(int at, List<Point> set)
        {
            if (set.Count + points.Count - at < best.Count)
                return;
            if (at == points.Count)
            {
                if (set.Count > best.Count || SpellEnds(set) > SpellEnds(best))
                    best = [.. set];
                return;
            }

            if (set.TrueForAll(p => Consistent(p, points[at])))
            {
                set.Add(points[at]);
                Try(at + 1, set);
                set.RemoveAt(set.Count - 1);
            }

            Try(at + 1, set);
        }
    }

    private static int SpellEnds(List<Point> set) => set.Count(p => p.Role is Role.Installed or Role.Removed);

    private static void MarkResets(List<Point> points, Story story)
    {
        for (var from = 0; from < points.Count; from++)
        {
            var row = points.Skip(from).TakeWhile(p => !p.Fits).ToList();
            if (row.Count == 0)
                continue;
            story.Reached.Add("reading left out");
            if (row.Count >= 3 && row.Zip(row.Skip(1)).All(pair => Consistent(pair.First, pair.Second)))
            {
                story.Reached.Add("suspected reset");
                row.ForEach(p => p.Reset = true);
            }

            from += row.Count;
        }
    }
}
