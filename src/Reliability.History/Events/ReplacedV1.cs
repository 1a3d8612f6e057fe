namespace Reliability.History.Events;

/// <summary>
/// An event of the record is wrong and this is the right one: the wrong one stays in the record and stops counting, the
/// right one counts in its place under the id of this event. Retracting this event restores the wrong one.
/// </summary>
public sealed record ReplacedV1 : EventBody
{
    /// <summary>Source of the wrong event.</summary>
    public required string TargetSource { get; init; }

    /// <summary>Original id of the wrong event within its source.</summary>
    public required string TargetEventId { get; init; }

    /// <summary>When the right event happened.</summary>
    public required Occurrence Occurrence { get; init; }

    /// <summary>What happened: any body but a correction.</summary>
    public required EventBody Body { get; init; }
}
