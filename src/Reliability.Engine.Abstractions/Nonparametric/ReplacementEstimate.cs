namespace Reliability.Engine.Abstractions;

/// <summary>How many replacements a position needs on average, as its hours go on.</summary>
/// <param name="Points">One point for each age at which some position had a replacement, increasing; empty when none had one.</param>
/// <param name="ConfidenceLevel">Level of the pointwise bounds.</param>
/// <param name="Warnings">What holds for the whole estimate.</param>
public sealed record ReplacementEstimate(
    IReadOnlyList<ReplacementPoint> Points, double ConfidenceLevel, IReadOnlyList<EngineWarning> Warnings);
