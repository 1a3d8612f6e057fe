namespace Reliability.Plots.Survival;

/// <summary>A step of the estimate. What does not exist is null.</summary>
/// <param name="Hours">Age in run-hours.</param>
/// <param name="Reliability">The chance to outlast it, between 0 and 1.</param>
/// <param name="Lower">Its lower bound.</param>
/// <param name="Upper">Its upper bound.</param>
public readonly record struct SurvivalStep(double Hours, double? Reliability, double? Lower, double? Upper)
{
    /// <summary>The estimate falls somewhere between this age and <see cref="Hours"/>; null when it falls at the latter.</summary>
    public double? LowerHours { get; init; }
}
