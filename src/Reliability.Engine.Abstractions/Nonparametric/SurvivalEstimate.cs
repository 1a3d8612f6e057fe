namespace Reliability.Engine.Abstractions;

/// <summary>Survival estimated without a life model: a function that falls at each age of failure, or between two.</summary>
/// <param name="Method">Kaplan-Meier, or Turnbull where failures are known only between two ages.</param>
/// <param name="Points">One point for each age, or stretch of ages, at which the curve falls, in increasing order; empty when
/// none failed.</param>
/// <param name="MedianLife">Smallest age with reliability 0.5 or less, in hours; null when reliability stays above it.</param>
/// <param name="ConfidenceLevel">Level of the pointwise bounds.</param>
/// <param name="Warnings">What holds for the whole estimate.</param>
public sealed record SurvivalEstimate(
    SurvivalMethod Method,
    IReadOnlyList<SurvivalPoint> Points,
    BoundedEstimate MedianLife,
    double ConfidenceLevel,
    IReadOnlyList<EngineWarning> Warnings)
{
    /// <summary>Greatest age in the sample, in hours: how far lives were watched.</summary>
    public double OldestHours { get; init; }
}
