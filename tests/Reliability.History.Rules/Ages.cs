namespace Reliability.Rules;

/// <summary>An age as a range, and whether it rests on a reading that was left out.</summary>
internal readonly record struct Age(long Lower, long Upper, bool Flagged)
{
    public bool IsKnown => Lower == Upper;
}

/// <summary>
/// "Age = age at the life's start + sum over segments of (last - first reading). Where a reading is missing age is a range":
/// from nothing to what the clock and the meter's readings around the gap allow.
/// </summary>
internal sealed class Ages(Story story, Phase phase, Wrong wrong)
{
    private readonly List<Point> _points = story.Points;

    /// <summary>The age at a point of the phase, counted from 0 at the phase's start, or at <paramref name="since"/>.</summary>
    public Age At(Point target, Point? since = null)
    {
        long lower = 0, upper = 0;
        var flagged = false;
        var open = new Dictionary<string, long>();
        var last = new Dictionary<string, Point>();
        Segment? segment = null;
        Point? anchor = null;
        var end = _points.IndexOf(target);
        var start = since is null ? 0 : _points.IndexOf(since);

        for (var i = 0; i <= end; i++)
        {
            var point = _points[i];
            var counts = point.Segment?.Spell.Phase == phase && i >= start;
            if (counts && segment != point.Segment)
            {
                if (wrong == Wrong.HostHoursBeforeInstallCounted && point is { Known: true, Segment.Spell.OnHostMeter: true })
                    (lower, upper) = (lower + point.Hours!.Value, upper + point.Hours.Value);
                (segment, anchor) = (point.Segment, null);
                if (point.Known)
                    Resolve(point);
                anchor = point;
                flagged |= point.LeftOut;
            }
            else if (counts && point.Known)
            {
                Reach(point);
                anchor = point;
            }
            else if (counts && (i == end || EndsSegment(point)))
            {
                Leave(point, i == end);
                anchor = point;
            }
            else if (!counts && point.Known)
                Resolve(point);

            if (point.Known)
                last[point.Meter] = point;
        }

        foreach (var (meter, hours) in open)
            upper += Limit(hours, last.GetValueOrDefault(meter), _points.Skip(end + 1).FirstOrDefault(p => p.Known && p.Meter == meter));
        return new(lower, upper, flagged);

        // A known point behind another of the same segment: the difference, unless the meter was reset between.
        void Reach(Point point)
        {
            var reset = Between(anchor!, point).Any(p => p.Reset);
            if (anchor!.Known && !reset)
            {
                (lower, upper) = (lower + point.Hours!.Value - anchor.Hours!.Value, upper + point.Hours.Value - anchor.Hours.Value);
                return;
            }

            Gap(anchor, point);
            if (reset)
            {
                (upper, flagged) = (upper + open[point.Meter], true);
                open.Remove(point.Meter);
            }
            else
                Resolve(point);
        }

        void Leave(Point point, bool isTarget)
        {
            Gap(anchor!, point);
            var next = _points.Skip(_points.IndexOf(point) + 1).FirstOrDefault(p => p.Known && p.Segment == point.Segment);
            if (isTarget && anchor!.Known && next is not null)
            {
                var least = Math.Max(0, next.Hours!.Value - anchor.Hours!.Value - Fitting.Clock(point, next));
                lower += least;
            }
        }

        void Gap(Point from, Point to)
        {
            open[to.Meter] = open.GetValueOrDefault(to.Meter)
                + (wrong == Wrong.MissingReadingTakenAsNoHours ? 0 : Fitting.Clock(from, to));
            flagged |= Between(from, to).Append(to).Any(p => p.LeftOut);
            story.Reached.Add("age as a range");
        }

        // What was open on this meter since its last known reading cannot be more than the meter moved.
        void Resolve(Point point)
        {
            if (open.Remove(point.Meter, out var hours))
                upper += Limit(hours, last.GetValueOrDefault(point.Meter), point);
        }
    }

    private static long Limit(long clock, Point? before, Point? after) =>
        before is not null && after is not null ? Math.Min(clock, after.Hours!.Value - before.Hours!.Value) : clock;

    private IEnumerable<Point> Between(Point from, Point to)
    {
        var first = _points.IndexOf(from) + 1;
        return _points.Skip(first).Take(_points.IndexOf(to) - first).Where(p => p.Segment == to.Segment);
    }

    private static bool EndsSegment(Point point) => point.Role is Role.OldMeterEnds or Role.Removed or Role.SpellCutShort;
}
