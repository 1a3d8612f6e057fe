namespace Reliability.History.Events;

/// <summary>An event of a module's record: what happened, when, and who said so.</summary>
public sealed record RecordedEvent
{
    /// <summary>Id of the event: see <see cref="EventIdentity.EventId"/>.</summary>
    public required Guid EventId { get; init; }

    /// <summary>The id under which the source posted it.</summary>
    public required string OriginalId { get; init; }

    /// <summary>The system that posted it.</summary>
    public required string Source { get; init; }

    /// <summary>Resource id of the module.</summary>
    public required string ModuleId { get; init; }

    /// <summary>When it happened.</summary>
    public required Occurrence Occurrence { get; init; }

    /// <summary>When it was stored, UTC. Never influences a life.</summary>
    public DateTimeOffset RecordTime { get; init; }

    /// <summary>A note of up to 200 characters; kept out of logs, exports and answers about cohorts.</summary>
    public string? Note { get; init; }

    /// <summary>Id of who posted it; never a name.</summary>
    public string? ActorId { get; init; }

    /// <summary>What happened.</summary>
    public required EventBody Body { get; init; }

    /// <summary>
    /// What counts when the event counts: the event, or for a replacement the right event under the replacement's ids.
    /// </summary>
    public RecordedEvent Told() =>
        Body is ReplacedV1 right ? this with { Occurrence = right.Occurrence, Body = right.Body } : this;
}
