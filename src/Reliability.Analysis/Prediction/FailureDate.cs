using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>A date by which a given fraction of such modules will have failed.</summary>
public sealed record FailureDate
{
    /// <summary>The fraction.</summary>
    public required double FailureFraction { get; init; }

    /// <summary>Further run-hours from the as-of time. Bounds take in the uncertainty of parameters and of the age.</summary>
    public required BoundedEstimate RemainingHours { get; init; }

    /// <summary>The date, UTC; null when withheld, unknown or beyond the calendar.</summary>
    public DateTimeOffset? Time { get; init; }

    /// <summary>Lower bound of the hours at the greatest rate of use, UTC; null as for the date, or when there is no bound.</summary>
    public DateTimeOffset? LowerTime { get; init; }

    /// <summary>Upper bound of the hours at the least rate of use, UTC; null as for the date, or when there is no bound.</summary>
    public DateTimeOffset? UpperTime { get; init; }

    /// <summary>Whether the age at the date is beyond rated hours.</summary>
    public bool BeyondRatedHours { get; init; }

    /// <summary>Whether dates are left out because they lie beyond rated hours.</summary>
    public bool Withheld { get; init; }
}
