using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>Gathers, while lives are derived, how each event stands: counted, unless something was said of it.</summary>
internal sealed class Ledger
{
    private readonly Dictionary<Guid, Entry> _entries = [];

    public void Stand(RecordedEvent about, EventStanding standing, Guid? related = null)
    {
        var entry = For(about);
        entry.Standing = standing;
        entry.Related = related ?? entry.Related;
    }

    public void Wait(RecordedEvent about, UnresolvedReason reason)
    {
        var entry = For(about);
        entry.Standing = EventStanding.Unresolved;
        entry.Reason = reason;
    }

    /// <summary>Whether a correction waits for what it corrects. One that was replaced itself is followed all the same.</summary>
    public bool WaitsForTarget => _entries.Values.Any(entry => entry.Reason == UnresolvedReason.TargetMissing);

    public void Relate(RecordedEvent about, Guid related) => For(about).Related = related;

    public void Flag(RecordedEvent about, RecordOddity oddity)
    {
        var entry = For(about);
        if (entry.Flags?.Contains(oddity) != true)
            (entry.Flags ??= []).Add(oddity);
    }

    public void LeaveOut(RecordedEvent about, MeterReading reading) => (For(about).LeftOut ??= []).Add(reading);

    public IReadOnlyList<EventStatus> Statuses(List<RecordedEvent> inOrder) =>
        inOrder.ConvertAll(recorded => _entries.TryGetValue(recorded.EventId, out var entry)
            ? entry.Status(recorded)
            : new() { EventId = recorded.EventId, Standing = EventStanding.Counted });

    private Entry For(RecordedEvent about)
    {
        if (!_entries.TryGetValue(about.EventId, out var entry))
            _entries[about.EventId] = entry = new();
        return entry;
    }

    private sealed class Entry
    {
        public EventStanding Standing { get; set; } = EventStanding.Counted;

        public UnresolvedReason? Reason { get; set; }

        public Guid? Related { get; set; }

        public List<RecordOddity>? Flags { get; set; }

        public List<MeterReading>? LeftOut { get; set; }

        public EventStatus Status(RecordedEvent recorded) => new()
        {
            EventId = recorded.EventId,
            Standing = Standing == EventStanding.Counted && LeftOut?.Count == ReadingsOf(recorded.Body)
                ? EventStanding.LeftOut
                : Standing,
            UnresolvedReason = Standing == EventStanding.Unresolved ? Reason : null,
            RelatedEventId = Related,
            Flags = Flags is null ? [] : [.. Flags.Order()],
            LeftOutReadings = LeftOut is null ? [] : [.. LeftOut.OrderBy(r => r.Earliest).ThenBy(r => r.Hours)],
        };

        // Only an event that is nothing but readings can be left out whole; a removal with a mistyped reading still counts.
        private static int ReadingsOf(EventBody body) => body is RunHoursReadV1 read ? read.Readings.Count : int.MaxValue;
    }
}
