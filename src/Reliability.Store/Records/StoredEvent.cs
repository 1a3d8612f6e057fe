using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>
/// An event as the log holds it. Its id, module and record time are the log's own columns and are not repeated here.
/// </summary>
internal abstract record StoredEvent
{
    public required string OriginalId { get; init; }

    public required string Source { get; init; }

    public required Occurrence Occurrence { get; init; }

    public string? Note { get; init; }

    public string? ActorId { get; init; }

    /// <summary>What happened. A method, so that it is not written beside the body of the derived class.</summary>
    public abstract EventBody What();

    public RecordedEvent ToRecorded(Guid eventId, string moduleId, DateTimeOffset recordTime) => new()
    {
        EventId = eventId,
        OriginalId = OriginalId,
        Source = Source,
        ModuleId = moduleId,
        Occurrence = Occurrence,
        RecordTime = recordTime,
        Note = Note,
        ActorId = ActorId,
        Body = What(),
    };
}
