using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>The events of a commit, an id perhaps more than once, and what became of each.</summary>
internal sealed class PostedWindow
{
    private readonly IReadOnlyList<PostedEvent> _events;
    private readonly Dictionary<Guid, PostedEvent> _first;

    /// <summary>Puts a window together.</summary>
    /// <param name="events">The events, in the order in which they are answered.</param>
    /// <param name="known">What is known of ids that were posted before.</param>
    public PostedWindow(IReadOnlyList<PostedEvent> events, Dictionary<Guid, KnownId>? known = null)
    {
        _events = events;
        Known = known ?? [];
        _first = new Dictionary<Guid, PostedEvent>(events.Count);
        foreach (var posted in events) _first.TryAdd(posted.Event.EventId, posted);
    }

    /// <summary>What is known of ids that were posted before.</summary>
    public Dictionary<Guid, KnownId> Known { get; set; }

    /// <summary>The first post of each id in the window.</summary>
    public IReadOnlyCollection<PostedEvent> First => _first.Values;

    /// <summary>The events that say what the first post of their id said.</summary>
    public List<RecordedEvent> Accepted()
    {
        var accepted = new List<RecordedEvent>(_events.Count);
        foreach (var posted in _events)
            if (SaysTheSame(posted)) accepted.Add(posted.Event);
        return accepted;
    }

    /// <summary>What became of each event, in order.</summary>
    /// <param name="unresolved">What events wait for.</param>
    /// <param name="revision">The revision of those that were not on record before.</param>
    /// <param name="number">
    /// Number of the window: what is known from an earlier attempt of the same window is no duplicate.
    /// </param>
    public RecordOutcome[] Outcomes(
        IReadOnlyDictionary<Guid, UnresolvedReason> unresolved, Revision revision, long? number)
    {
        var told = _first.Count == _events.Count ? null : new HashSet<Guid>(_events.Count);
        var outcomes = new RecordOutcome[_events.Count];
        var repeated = 0;
        var last = new RecordOutcome.Receipt(revision, false, null);
        for (var i = 0; i < outcomes.Length; i++)
        {
            var id = _events[i].Event.EventId;
            if (!SaysTheSame(_events[i]))
            {
                outcomes[i] = new RecordOutcome.OtherBody();
                StoreTelemetry.EventsRefused.Add(1);
                continue;
            }
            var wasKnown = Known.TryGetValue(id, out var known);
            var duplicate = (told is not null && !told.Add(id)) || (wasKnown && known.Window != number);
            if (duplicate) repeated++;
            UnresolvedReason? reason = unresolved.Count > 0 && unresolved.TryGetValue(id, out var found) ? found : null;
            // Neighbours mostly share their receipt.
            var receipt = wasKnown ? known.Revision : revision;
            if (last.Duplicate != duplicate || last.UnresolvedReason != reason || last.Revision != receipt)
                last = new RecordOutcome.Receipt(receipt, duplicate, reason);
            outcomes[i] = last;
        }
        if (number is not null) StoreTelemetry.EventsRepeated.Add(repeated);
        return outcomes;
    }

    /// <summary>Whether an event says what the first post of its id said.</summary>
    private bool SaysTheSame(PostedEvent posted) =>
        posted.BodyHash == (Known.TryGetValue(posted.Event.EventId, out var known)
            ? known.BodyHash
            : _first[posted.Event.EventId].BodyHash);
}
