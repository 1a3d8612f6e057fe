using Reliability.History.Lives;
using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>What became of one posted event.</summary>
public abstract record RecordOutcome
{
    private RecordOutcome()
    {
    }

    /// <summary>The event is on record, durably.</summary>
    /// <param name="Revision">The state of the record with it in; for a duplicate that of the first post.</param>
    /// <param name="Duplicate">Whether the same event was there before.</param>
    /// <param name="UnresolvedReason">
    /// What it still waits for, as far as a quick look shows; null when nothing. The full standing comes with the record.
    /// </param>
    public sealed record Receipt(Revision Revision, bool Duplicate, UnresolvedReason? UnresolvedReason) : RecordOutcome;

    /// <summary>Refused: its id is on record with another body, which stands.</summary>
    public sealed record OtherBody : RecordOutcome;
}
