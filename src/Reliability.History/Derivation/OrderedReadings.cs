namespace Reliability.History.Derivation;

/// <summary>
/// The largest consistent set of readings in which the meter also never shows less at a later event than at an earlier one.
/// </summary>
/// <remarks>
/// <see cref="ConsistentReadings"/> knows times only. Within a day those leave open what the record says: that a module was
/// taken out of one host before it was fitted in the next. Where a set breaks that, one of the two readings is wrong: the
/// better set without the one or without the other counts. Such pairs are rare and lie within one day.
/// </remarks>
internal static class OrderedReadings
{
    // The work doubles with each pair; a record with more of them in one meter's run loses the later reading of each.
    private const int MostChoices = 8;

    /// <param name="readings">Readings of one meter in any order.</param>
    /// <param name="origin">The instant from which times are counted; not after the earliest reading.</param>
    public static List<ReadingItem> Keep(IReadOnlyCollection<ReadingItem> readings, DateTimeOffset origin)
    {
        var kept = Keep(readings, origin, MostChoices);

        // Settles anew at which times the readings of the set that won were taken.
        return kept.Count < readings.Count ? ConsistentReadings.Keep(kept, origin) : kept;
    }

    private static List<ReadingItem> Keep(IReadOnlyCollection<ReadingItem> readings, DateTimeOffset origin, int choices)
    {
        var kept = ConsistentReadings.Keep(readings, origin);
        while (OutOfOrder(kept) is var (one, next))
        {
            var withoutNext = readings.Where(r => r != next).ToList();
            if (choices > 0)
            {
                var (left, right) = (
                    Keep(withoutNext, origin, choices - 1), Keep([.. readings.Where(r => r != one)], origin, choices - 1));
                return ConsistentReadings.CompareWorth(left, right) >= 0 ? left : right;
            }

            readings = withoutNext;
            kept = ConsistentReadings.Keep(readings, origin);
        }

        return kept;
    }

    private static int ByHours(ReadingItem one, ReadingItem other)
    {
        var order = one.Hours.CompareTo(other.Hours);
        if (order == 0)
            order = Nullable.Compare(one.Segment?.Number, other.Segment?.Number);
        return order == 0 ? Nullable.Compare(one.Order, other.Order) : order;
    }

    // Two readings of which the one that came first shows more. Going through them by hours, the first to reach the greatest
    // place in the record is the one against which a lesser place stands out.
    private static (ReadingItem Earlier, ReadingItem Later)? OutOfOrder(List<ReadingItem> kept)
    {
        ReadingItem? furthest = null;
        ReadingItem? furthestIn = null;
        foreach (var item in Sorting.Sorted(kept, ByHours))
        {
            if (item.Order is { } order)
            {
                if (furthest is not null && furthest.Order > order && furthest.Hours < item.Hours)
                    return (item, furthest);
                if (furthest is null || order > furthest.Order)
                    furthest = item;
            }

            if (item.Segment is not { } segment)
                continue;
            if (furthestIn is not null && furthestIn.Hours < item.Hours
                && (furthestIn.Segment!.Number > segment.Number
                    || (furthestIn.Segment == segment && (item == segment.First || furthestIn == segment.Last))))
                return (item, furthestIn);
            if (furthestIn is null || segment.Number > furthestIn.Segment!.Number || item == segment.Last)
                furthestIn = item;
        }

        return null;
    }
}
