using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Survival estimated without a life model, and what it rests on.</summary>
/// <param name="Estimate">The estimate: points, median, confidence level.</param>
/// <param name="Warnings">What should be known of the numbers, notes of the median included.</param>
public sealed record SurvivalAnswer(SurvivalEstimate Estimate, IReadOnlyList<EngineWarning> Warnings);
