namespace Reliability.History.Lives;

/// <summary>
/// What must be known of a derived record to go on with plain readings that come after everything in it, without the record:
/// see <see cref="LifeContinuation"/>. It follows from the record like everything else that is derived.
/// </summary>
public sealed record Continuation
{
    /// <summary>When the last event or reading that counts began, UTC: what follows begins later.</summary>
    public required DateTimeOffset LastTime { get; init; }

    /// <summary>When the last of the windows that count ends, UTC: what follows begins no earlier.</summary>
    public required DateTimeOffset LastEndTime { get; init; }

    /// <summary>When the first reading of the meter's run was taken, UTC.</summary>
    public required DateTimeOffset RunStartTime { get; init; }

    /// <summary>What the meter showed last, hours; it has shown nothing higher since its run began.</summary>
    public required double MeterHours { get; init; }

    /// <summary>
    /// Hours of the run in which the meter stood still at the least, by the readings so far; below zero where it started above zero.
    /// </summary>
    public required double IdleHours { get; init; }

    /// <summary>Run-hours of the phase up to the last reading.</summary>
    public required HoursRange PhaseHours { get; init; }

    /// <summary>The age at one point of the phase, run-hours.</summary>
    public required double AnchorAgeHours { get; init; }

    /// <summary>Run-hours of the phase at that point.</summary>
    public required HoursRange AnchorPhaseHours { get; init; }
}
