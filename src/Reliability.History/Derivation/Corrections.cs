using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Which events count once retractions and replacements are followed. A retraction that counts takes its target out. A
/// replacement that counts puts its right event in the place of its target, and goes on doing so through one that replaces it
/// in turn. Corrections that lead in a circle back to themselves, and those whose target is not there, change nothing.
/// </summary>
internal static class Corrections
{
    /// <summary>The events that count: of a replacement the right event, under the replacement's own id.</summary>
    public static List<RecordedEvent> Apply(IReadOnlyList<RecordedEvent> events, Ledger ledger)
    {
        // Most records hold none.
        if (events.All(e => NamedBy(e.Body) is null))
            return [.. events];

        var inOrder = events.OrderBy(e => e.EventId).ToList();
        var targets = Targets(inOrder, ledger);
        var correctedBy = inOrder.Where(e => targets.ContainsKey(e.EventId)).ToLookup(e => targets[e.EventId].EventId);
        var standings = Settle(events, correctedBy);
        foreach (var corrected in inOrder.Where(e => standings[e.EventId] != EventStanding.Counted))
        {
            var standing = standings[corrected.EventId];
            var by = correctedBy[corrected.EventId].First(correction => Effect(correction, standings) == standing);
            ledger.Stand(corrected, standing, by.EventId);
        }

        var left = events.Where(e => standings[e.EventId] == EventStanding.Counted).ToList();
        var inPlace = InPlace([.. left.Where(e => e.Body is ReplacedV1 && targets.ContainsKey(e.EventId))], targets);
        foreach (var loser in left.Where(e => inPlace.TryGetValue(e.EventId, out var one) && one.EventId != e.EventId))
        {
            var winner = inPlace[loser.EventId];
            var same = EventContent.SaysTheSame(loser.Told(), winner.Told());
            ledger.Stand(loser, same ? EventStanding.Duplicate : EventStanding.Conflict, winner.EventId);
        }

        return
        [
            .. left.Where(e => e.Body is not ReplacedV1 || inPlace.GetValueOrDefault(e.EventId)?.EventId == e.EventId)
                .Select(e => e.Told()),
        ];
    }

    /// <summary>What each correction names, without those that name nothing there or lead back to themselves.</summary>
    private static Dictionary<Guid, RecordedEvent> Targets(List<RecordedEvent> inOrder, Ledger ledger)
    {
        // A host's meter is of no single module: what is wrong in its record is put right there, for all of them.
        var named = new Dictionary<(string Record, string Source, string Id), RecordedEvent>();
        foreach (var recorded in inOrder)
            named.TryAdd((recorded.ModuleId, recorded.Source, recorded.OriginalId), recorded);

        var targets = new Dictionary<Guid, RecordedEvent>();
        foreach (var correction in inOrder)
        {
            if (NamedBy(correction.Body) is not var (source, id))
                continue;
            if (named.TryGetValue((correction.ModuleId, source, id), out var target))
                targets[correction.EventId] = target;
            else
                ledger.Wait(correction, UnresolvedReason.TargetMissing);
        }

        var circles = InCircles(inOrder, targets);
        foreach (var circular in inOrder.Where(e => circles.Contains(e.EventId)))
        {
            ledger.Wait(circular, UnresolvedReason.TargetCircular);
            targets.Remove(circular.EventId);
        }

        return targets;
    }

    /// <summary>The event that a correction names; null for what is no correction.</summary>
    public static (string Source, string Id)? NamedBy(EventBody body) => body switch
    {
        RetractedV1 retracted => (retracted.TargetSource, retracted.TargetEventId),
        ReplacedV1 replaced => (replaced.TargetSource, replaced.TargetEventId),
        _ => null,
    };

    // Every correction names one target, so a walk that meets its own path has found a circle; each is walked once.
    private static HashSet<Guid> InCircles(List<RecordedEvent> inOrder, Dictionary<Guid, RecordedEvent> targets)
    {
        var (circular, seen) = (new HashSet<Guid>(), new HashSet<Guid>());
        foreach (var start in inOrder)
        {
            var path = new List<Guid>();
            var at = start.EventId;
            while (targets.TryGetValue(at, out var next) && seen.Add(at))
            {
                path.Add(at);
                at = next.EventId;
            }

            if (path.IndexOf(at) is >= 0 and var begins)
                circular.UnionWith(path[begins..]);
        }

        return circular;
    }

    // Two people may each put right the same event: the later correction has the place, at equal times the higher id. A
    // replacement of a replacement has the place of the event that was wrong first.
    private static Dictionary<Guid, RecordedEvent> InPlace(
        List<RecordedEvent> replacements, Dictionary<Guid, RecordedEvent> targets)
    {
        var winners = new Dictionary<Guid, RecordedEvent>();
        var known = new Dictionary<Guid, Guid>();
        foreach (var rivals in replacements.GroupBy(replacement => Place(replacement, targets, known)))
        {
            var winner = rivals.OrderBy(e => e.Occurrence.Earliest).ThenBy(e => e.EventId).Last();
            foreach (var rival in rivals)
                winners[rival.EventId] = winner;
        }

        return winners;
    }

    private static Guid Place(RecordedEvent replacement, Dictionary<Guid, RecordedEvent> targets, Dictionary<Guid, Guid> known)
    {
        var path = new List<Guid>();
        var at = replacement;
        while (at.Body is ReplacedV1 && !known.ContainsKey(at.EventId) && targets.TryGetValue(at.EventId, out var target))
        {
            path.Add(at.EventId);
            at = target;
        }

        var place = known.GetValueOrDefault(at.EventId, at.EventId);
        foreach (var id in path)
            known[id] = place;
        return place;
    }

    /// <summary>How a correction leaves its target.</summary>
    private static EventStanding Effect(RecordedEvent correction, Dictionary<Guid, EventStanding> standings) =>
        (correction.Body, standings[correction.EventId]) switch
        {
            (ReplacedV1, EventStanding.Counted or EventStanding.Replaced) => EventStanding.Replaced,
            (RetractedV1, EventStanding.Counted) => EventStanding.Retracted,
            _ => EventStanding.Counted,
        };

    // Without circles the corrections form trees; a stack of our own, since a hostile chain could be deeper than the thread's.
    private static Dictionary<Guid, EventStanding> Settle(
        IReadOnlyList<RecordedEvent> events, ILookup<Guid, RecordedEvent> correctedBy)
    {
        var standings = new Dictionary<Guid, EventStanding>(events.Count);
        var pending = new Stack<Guid>(events.Select(e => e.EventId));
        while (pending.TryPeek(out var id))
        {
            if (standings.ContainsKey(id))
            {
                pending.Pop();
                continue;
            }

            var open = correctedBy[id].Where(e => !standings.ContainsKey(e.EventId)).ToList();
            if (open.Count == 0)
            {
                var effects = correctedBy[id].Select(correction => Effect(correction, standings)).ToList();
                standings[id] = effects.Contains(EventStanding.Replaced) ? EventStanding.Replaced
                    : effects.Contains(EventStanding.Retracted) ? EventStanding.Retracted
                    : EventStanding.Counted;
                pending.Pop();
            }

            foreach (var correction in open)
                pending.Push(correction.EventId);
        }

        return standings;
    }
}
