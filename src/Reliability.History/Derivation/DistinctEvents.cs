using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// One event for each id. The store refuses a second body under one id; should two arrive all the same, the first in order
/// of content counts, so that the answer does not hang on the order of arrival.
/// </summary>
internal static class DistinctEvents
{
    public static List<RecordedEvent> Of(IReadOnlyList<RecordedEvent> events, Ledger ledger)
    {
        var ids = new HashSet<Guid>(events.Count);
        if (events.All(recorded => ids.Add(recorded.EventId)))
            return [.. events];

        var byId = new Dictionary<Guid, RecordedEvent>(events.Count);
        foreach (var candidate in events)
        {
            if (byId.TryAdd(candidate.EventId, candidate))
                continue;

            var present = byId[candidate.EventId];
            if (ReferenceEquals(present, candidate))
                continue;

            var order = EventContent.Hash(present).AsSpan().SequenceCompareTo(EventContent.Hash(candidate));
            if (order == 0)
                continue;

            if (order > 0)
                byId[candidate.EventId] = candidate;
            ledger.Flag(candidate, RecordOddity.SameIdOtherBody);
        }

        return [.. byId.Values];
    }
}
