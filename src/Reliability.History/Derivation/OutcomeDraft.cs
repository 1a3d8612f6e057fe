using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>How a life ended, in run-hours of its phase, before late entry is looked at.</summary>
internal sealed record OutcomeDraft
{
    public required OutcomeKind Kind { get; init; }

    /// <summary>Run-hours survived; or the greatest at which it was seen working before a failure. Null: since the start.</summary>
    public HoursRange? Lower { get; init; }

    /// <summary>Run-hours at the failure or its discovery; for a survivor null.</summary>
    public HoursRange? Upper { get; init; }

    /// <summary>The event that showed it; null when nothing did.</summary>
    public RecordedEvent? Event { get; init; }

    /// <summary>When it became known; null while the life goes on.</summary>
    public Occurrence? Known { get; init; }

    public string? Mode { get; init; }

    public RemovalReason? Reason { get; init; }

    public bool ExcludedByPolicy { get; init; }

    /// <summary>Odd readings on which it rests.</summary>
    public IReadOnlyList<RecordOddity> Flags { get; init; } = [];

    public IReadOnlyList<LifeAmbiguity> Ambiguities { get; init; } = [];
}
