using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// The run of one meter from when it was fitted, reset or changed to when it was changed again: for a module's own meter
/// across spells, for a host's meter within one segment.
/// </summary>
internal sealed class MeterRun
{
    // Three readings that follow each other and fit each other, but not the rest, are more than mistyping.
    private const int ResetCount = 3;

    public List<ReadingItem> Readings { get; } = [];

    /// <summary>The readings that count, in order of time.</summary>
    public List<ReadingItem> Accepted { get; private set; } = [];

    /// <summary>When its first reading was taken.</summary>
    public DateTimeOffset Origin { get; private set; }

    /// <summary>Hours since then in which it stood still at the least, by the accepted readings.</summary>
    public double IdleHours => Accepted.Max(item => ConsistentReadings.LeastIdle(item.Reading, Origin));

    /// <summary>Decides which readings count, and flags the others.</summary>
    public void Settle(Ledger ledger)
    {
        if (Readings.Count == 0)
            return;

        Origin = Readings.Min(r => r.Reading.Earliest);
        var kept = OrderedReadings.Keep(Readings, Origin);
        foreach (var item in kept)
            item.Piece = 0;
        if (kept.Count < Readings.Count)
            AcceptResets(Origin, ledger);

        Accepted = Sorting.Sorted(Readings.FindAll(r => r.Accepted), InTime);
        for (var index = 0; index < Accepted.Count; index++)
            Accepted[index].Index = index;
        foreach (var item in Readings.Where(r => !r.Accepted))
        {
            ledger.Flag(item.Event, RecordOddity.ReadingLeftOut);
            ledger.LeaveOut(item.Event, item.Reading);
        }
    }

    /// <summary>The last accepted reading certainly before a window and the first certainly after it.</summary>
    public (ReadingItem? Before, ReadingItem? After) Around(DateTimeOffset earliest, DateTimeOffset latest) =>
        (Accepted.FindLast(r => r.Reading.Latest <= earliest), Accepted.Find(r => r.Reading.Earliest >= latest));

    // At equal times and hours in the order of the record, never by id: what was read before work is of the spell before it.
    private static int InTime(ReadingItem one, ReadingItem other)
    {
        var order = one.At.CompareTo(other.At);
        if (order == 0)
            order = one.Hours.CompareTo(other.Hours);
        if (order == 0)
            order = PlaceOf(one).CompareTo(PlaceOf(other));
        if (order == 0)
            order = one.Kind.CompareTo(other.Kind);
        if (order == 0)
            order = one.Reading.Earliest.CompareTo(other.Reading.Earliest);
        return order == 0 ? one.Reading.Latest.CompareTo(other.Reading.Latest) : order;
    }

    // What was read on the bench lies between the segments before and after it.
    private static double PlaceOf(ReadingItem item) => item.Segment?.Number ?? item.BehindSegments - 0.5;

    // Looks between kept readings for runs of left-out ones that are consistent among themselves: the meter may have been
    // reset there. They get a piece of their own; hours between pieces are unknown.
    private void AcceptResets(DateTimeOffset origin, Ledger ledger)
    {
        var piece = 0;
        var inOrder = Readings
            .OrderBy(r => r.Reading.Earliest).ThenBy(r => Ordering.Rank(r.Event.Body)).ThenBy(r => r.Event.EventId)
            .ThenBy(r => r.Hours).ToList();
        var run = new List<ReadingItem>();
        foreach (var item in inOrder)
        {
            if (!item.Accepted)
            {
                run.Add(item);
                continue;
            }

            if (item.Piece == 0)
                AcceptReset(run, origin, ref piece, ledger);
        }

        AcceptReset(run, origin, ref piece, ledger);
    }

    private static void AcceptReset(List<ReadingItem> run, DateTimeOffset origin, ref int piece, Ledger ledger)
    {
        if (run.Count >= ResetCount && OrderedReadings.Keep(run, origin) is { Count: >= ResetCount } own)
        {
            piece++;
            foreach (var item in own)
            {
                item.Piece = piece;
                ledger.Flag(item.Event, RecordOddity.SuspectedReset);
                ledger.Flag(item.Event, RecordOddity.ReadingLeftOut);
                ledger.LeaveOut(item.Event, item.Reading);
            }
        }

        run.Clear();
    }
}
