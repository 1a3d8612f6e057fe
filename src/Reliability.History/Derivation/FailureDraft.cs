using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>The event that showed a life to have ended in failure.</summary>
/// <param name="Event">A failure, a removal for failure, or a retirement for failure.</param>
/// <param name="Order">Its place among the structural events.</param>
/// <param name="Spell">The spell in which it was found; null when it was found on the shelf.</param>
internal sealed record FailureDraft(RecordedEvent Event, int Order, SpellDraft? Spell)
{
    /// <summary>How it showed: from the first report that says so.</summary>
    public string? Mode { get; set; }

    public ReadingItem? Reading { get; init; }

    public bool IsMoment => Event.Body is FailedV1 { ReadingIs: FailureReading.Moment };
}
