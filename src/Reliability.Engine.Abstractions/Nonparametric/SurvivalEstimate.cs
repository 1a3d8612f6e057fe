namespace Reliability.Engine.Abstractions;

/// <summary>Survival estimated without a life model: a step function that falls at each age of failure.</summary>
/// <param name="Points">One point for each distinct age of failure, in increasing order; empty when none failed.</param>
/// <param name="MedianLife">Smallest age with reliability 0.5 or less, in hours; null when reliability stays above it.</param>
/// <param name="ConfidenceLevel">Level of the pointwise bounds.</param>
/// <param name="Warnings">What holds for the whole estimate.</param>
public sealed record SurvivalEstimate(
    IReadOnlyList<SurvivalPoint> Points,
    BoundedEstimate MedianLife,
    double ConfidenceLevel,
    IReadOnlyList<EngineWarning> Warnings);
