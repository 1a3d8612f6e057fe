using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Which events still count once retractions are followed: an event counts unless a retraction that itself counts names it.
/// Retractions that lead in a circle back to themselves are unresolved and retract nothing.
/// </summary>
internal static class Retractions
{
    public static List<RecordedEvent> Apply(IReadOnlyList<RecordedEvent> events, Ledger ledger)
    {
        var named = new Dictionary<(string Source, string Id), RecordedEvent>();
        foreach (var recorded in events.OrderBy(e => e.EventId))
            named.TryAdd((recorded.Source, recorded.OriginalId), recorded);

        var targets = new Dictionary<Guid, RecordedEvent>();
        var retractedBy = new Dictionary<Guid, List<RecordedEvent>>();
        foreach (var retraction in events.OrderBy(e => e.EventId))
        {
            if (retraction.Body is not RetractedV1 body)
                continue;
            if (!named.TryGetValue((body.TargetSource, body.TargetEventId), out var target))
            {
                ledger.Wait(retraction, UnresolvedReason.TargetMissing);
                continue;
            }

            targets[retraction.EventId] = target;
        }

        foreach (var retraction in events.Where(e => targets.ContainsKey(e.EventId)).OrderBy(e => e.EventId))
        {
            if (LeadsBackToItself(retraction, targets))
            {
                ledger.Wait(retraction, UnresolvedReason.TargetCircular);
                continue;
            }

            var target = targets[retraction.EventId];
            if (!retractedBy.TryGetValue(target.EventId, out var list))
                retractedBy[target.EventId] = list = [];
            list.Add(retraction);
        }

        var counts = Settle(events, retractedBy);
        foreach (var recorded in events.Where(e => !counts[e.EventId]))
        {
            var by = retractedBy[recorded.EventId].First(r => counts[r.EventId]);
            ledger.Stand(recorded, EventStanding.Retracted, by.EventId);
        }

        return [.. events.Where(e => counts[e.EventId])];
    }

    private static bool LeadsBackToItself(RecordedEvent from, Dictionary<Guid, RecordedEvent> targets)
    {
        var seen = new HashSet<Guid>();
        var at = from.EventId;
        while (targets.TryGetValue(at, out var next) && seen.Add(at))
        {
            at = next.EventId;
            if (at == from.EventId)
                return true;
        }

        return false;
    }

    // Without circles the retractions form trees; a stack of our own, since a hostile chain could be deeper than the thread's.
    private static Dictionary<Guid, bool> Settle(
        IReadOnlyList<RecordedEvent> events, Dictionary<Guid, List<RecordedEvent>> retractedBy)
    {
        var counts = new Dictionary<Guid, bool>(events.Count);
        var pending = new Stack<Guid>(events.Select(e => e.EventId));
        while (pending.TryPeek(out var id))
        {
            if (counts.ContainsKey(id))
            {
                pending.Pop();
                continue;
            }

            var by = retractedBy.GetValueOrDefault(id, []);
            var open = by.Where(r => !counts.ContainsKey(r.EventId)).ToList();
            if (open.Count == 0)
            {
                counts[id] = !by.Any(r => counts[r.EventId]);
                pending.Pop();
            }

            foreach (var retraction in open)
                pending.Push(retraction.EventId);
        }

        return counts;
    }
}
