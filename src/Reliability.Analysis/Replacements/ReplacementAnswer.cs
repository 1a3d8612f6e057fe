using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>How many replacements positions need, and what the answer rests on.</summary>
/// <param name="Estimate">The mean cumulative function.</param>
/// <param name="PositionCount">Positions given.</param>
/// <param name="ReplacementCount">Replacements given.</param>
/// <param name="TotalRunHours">Run-hours watched in all.</param>
/// <param name="Warnings">What should be known of the numbers, notes of single ones included.</param>
public sealed record ReplacementAnswer(
    ReplacementEstimate Estimate, int PositionCount, int ReplacementCount, double TotalRunHours, IReadOnlyList<EngineWarning> Warnings);
