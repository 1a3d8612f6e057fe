namespace Reliability.History.Events;

/// <summary>
/// An event of the record is wrong: it stays in the record and stops counting. Retracting a retraction restores its
/// target.
/// </summary>
public sealed record RetractedV1 : EventBody
{
    /// <summary>Source of the wrong event.</summary>
    public required string TargetSource { get; init; }

    /// <summary>Original id of the wrong event within its source.</summary>
    public required string TargetEventId { get; init; }
}
