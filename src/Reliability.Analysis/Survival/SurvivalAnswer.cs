using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Survival estimated without a life model, and what it rests on.</summary>
/// <param name="Estimate">The estimate: which it is, points, median, confidence level.</param>
/// <param name="RestrictedMean">Mean life up to an age limit.</param>
/// <param name="Incidences">Share failed by each mode; empty when the sample has no modes or has failures between two ages.</param>
/// <param name="Warnings">What should be known of the numbers, notes of single ones included.</param>
public sealed record SurvivalAnswer(
    SurvivalEstimate Estimate,
    RestrictedMeanLife RestrictedMean,
    IReadOnlyList<ModeIncidence> Incidences,
    IReadOnlyList<EngineWarning> Warnings)
{
    /// <summary>The smallest age in hours at which a life came under observation: nobody was watched below it.</summary>
    public double EarliestEntryHours { get; init; }
}
