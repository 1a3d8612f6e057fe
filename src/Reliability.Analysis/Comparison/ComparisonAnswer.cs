using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Two cohorts against each other.</summary>
/// <param name="Model">The life model used.</param>
/// <param name="Cohorts">Each cohort by itself, in the order asked.</param>
/// <param name="Tests">Tests of no difference: <c>log-rank</c>, <c>equal-shape</c>, <c>equal-scale-given-shape</c>,
/// <c>equal-life</c>, each with its reason where it could not be made.</param>
/// <param name="Effects">Second over first: <c>b10-ratio</c>, <c>median-ratio</c>, <c>mean-ratio</c>; empty when a cohort has no fit.</param>
/// <param name="Verdict">What can be said.</param>
/// <param name="Warnings">What should be known of the numbers and of the records behind them.</param>
public sealed record ComparisonAnswer(
    LifeModelDescription Model,
    IReadOnlyList<CohortAnswer> Cohorts,
    IReadOnlyList<CohortTest> Tests,
    IReadOnlyList<CohortEffect> Effects,
    Verdict Verdict,
    IReadOnlyList<EngineWarning> Warnings);
