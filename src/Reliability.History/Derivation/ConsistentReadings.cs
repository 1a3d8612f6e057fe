using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>
/// The largest set of readings of one meter that is consistent in order and in pace: hours never fall, and never grow by
/// more than the longest time that the precisions allow.
/// </summary>
/// <remarks>
/// With t the time of a reading in hours and h its hours, both rules together say that h and t - h may not fall. t lies in a
/// window, so t - h lies in [earliest - h, latest - h]. Readings are taken in order of h; a set is consistent when one can pick
/// from each window a value so that the values never fall, and picking the least possible each time decides it. Chains are
/// kept only when none other has as low a value and is as good: that makes it linear but for sorting on a clean record, and as
/// long as a chain's values spread only where readings conflict or windows are wide.
/// </remarks>
internal static class ConsistentReadings
{
    // Relative to the size of the numbers, so that a change of unit changes nothing.
    private const double Rounding = 1e-12;

    /// <summary>The readings to keep, in order of hours, their <see cref="ReadingItem.At"/> set.</summary>
    /// <param name="readings">Readings of one meter in any order.</param>
    /// <param name="origin">The instant from which times are counted; not after the earliest reading.</param>
    public static List<ReadingItem> Keep(IReadOnlyCollection<ReadingItem> readings, DateTimeOffset origin)
    {
        var windows = new List<Window>(readings.Count);
        windows.AddRange(readings.Select(r => new Window(r, origin)));
        windows = Sorting.Sorted(windows, Window.Compare);
        return KeepAll(windows) ?? KeepMost(windows);
    }

    /// <summary>Which of two sets counts: the larger, then the one with more spell-end readings, then the earlier.</summary>
    public static int CompareWorth(List<ReadingItem> one, List<ReadingItem> other)
    {
        var order = one.Count.CompareTo(other.Count);
        if (order == 0)
            order = one.Count(r => r.AtSpellEnd).CompareTo(other.Count(r => r.AtSpellEnd));
        return order == 0 ? Middles(other).CompareTo(Middles(one)) : order;

        static Int128 Middles(List<ReadingItem> set) =>
            set.Aggregate(Int128.Zero, (sum, r) => sum + r.Reading.Earliest.Ticks + ((r.Reading.Latest - r.Reading.Earliest).Ticks / 2));
    }

    /// <summary>
    /// The least time in which the meter did not count, from an origin to a reading, hours; below zero where it began above zero.
    /// </summary>
    public static double LeastIdle(MeterReading reading, DateTimeOffset origin) =>
        (reading.Earliest - origin).TotalHours - reading.Hours;

    /// <summary>The most, loosened by what rounding may take.</summary>
    public static double MostIdle(MeterReading reading, DateTimeOffset origin)
    {
        var time = (reading.Latest - origin).TotalHours;
        return time - reading.Hours + (Rounding * (Math.Abs(time) + Math.Abs(reading.Hours)));
    }

    private static List<ReadingItem>? KeepAll(List<Window> windows)
    {
        var least = double.NegativeInfinity;
        foreach (var window in windows)
        {
            if (least > window.Highest)
                return null;
            least = Math.Max(least, window.Lowest);
        }

        return Settle(windows);
    }

    private static List<ReadingItem> KeepMost(List<Window> windows)
    {
        // Ends of chains, rising in value and in worth: for a higher value a chain must be worth more.
        var front = new List<Chain>();
        var grown = new List<Chain>();
        foreach (var window in windows)
        {
            grown.Clear();
            var from = FirstAbove(front, window.Lowest);
            grown.Add(new(window, from > 0 ? front[from - 1] : null, window.Lowest));
            for (var i = from; i < front.Count && front[i].Value <= window.Highest; i++)
                grown.Add(new(window, front[i], front[i].Value));

            foreach (var chain in grown)
                Enter(front, chain);
        }

        var kept = new List<Window>();
        for (var chain = front.Count > 0 ? front[^1] : null; chain is not null; chain = chain.Before)
            kept.Add(chain.Last);
        kept.Reverse();
        return Settle(kept);
    }

    private static void Enter(List<Chain> front, Chain chain)
    {
        var above = FirstAbove(front, chain.Value);
        if (above > 0 && front[above - 1].CompareWorth(chain) >= 0)
            return;

        var first = above > 0 && front[above - 1].Value == chain.Value ? above - 1 : above;
        var last = first;
        while (last < front.Count && front[last].CompareWorth(chain) <= 0)
            last++;
        if (last == first)
        {
            front.Insert(first, chain);
            return;
        }

        front[first] = chain;
        front.RemoveRange(first + 1, last - first - 1);
    }

    private static int FirstAbove(List<Chain> front, double value)
    {
        var (low, high) = (0, front.Count);
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (front[middle].Value <= value)
                low = middle + 1;
            else
                high = middle;
        }

        return low;
    }

    private static List<ReadingItem> Settle(List<Window> chain)
    {
        var value = double.NegativeInfinity;
        foreach (var window in chain)
        {
            value = Math.Max(value, window.Lowest);
            window.Item.At = value + window.Item.Hours;
        }

        return chain.ConvertAll(window => window.Item);
    }

    private readonly struct Window(ReadingItem item, DateTimeOffset origin)
    {
        public ReadingItem Item { get; } = item;

        public double Lowest { get; } = LeastIdle(item.Reading, origin);

        public double Highest { get; } = MostIdle(item.Reading, origin);

        /// <summary>Middle of the window, ticks since the origin: what makes a set the earlier one.</summary>
        public long Middle { get; } =
            (item.Reading.Earliest - origin).Ticks + ((item.Reading.Latest - item.Reading.Earliest).Ticks / 2);

        public static int Compare(Window window, Window next)
        {
            var (one, other) = (window.Item, next.Item);
            var order = one.Hours.CompareTo(other.Hours);
            if (order == 0)
                order = one.Reading.Earliest.CompareTo(other.Reading.Earliest);
            if (order == 0)
                order = one.Reading.Latest.CompareTo(other.Reading.Latest);
            if (order == 0)
                order = one.Kind.CompareTo(other.Kind);
            return order == 0 ? one.Event.EventId.CompareTo(other.Event.EventId) : order;
        }
    }

    private sealed class Chain(Window last, Chain? before, double value)
    {
        private readonly int _count = (before?._count ?? 0) + 1;
        private readonly int _spellEnds = (before?._spellEnds ?? 0) + (last.Item.AtSpellEnd ? 1 : 0);
        private readonly Int128 _middles = (before?._middles ?? 0) + last.Middle;

        public Window Last { get; } = last;

        public Chain? Before { get; } = before;

        public double Value { get; } = value;

        /// <summary>More readings, then more of them at the ends of spells, then earlier ones.</summary>
        public int CompareWorth(Chain other)
        {
            var order = _count.CompareTo(other._count);
            if (order == 0)
                order = _spellEnds.CompareTo(other._spellEnds);
            return order == 0 ? other._middles.CompareTo(_middles) : order;
        }
    }
}
