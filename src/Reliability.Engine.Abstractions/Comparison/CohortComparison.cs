namespace Reliability.Engine.Abstractions;

/// <summary>Cohorts against each other under one life model.</summary>
/// <param name="Fits">The separate fit of each cohort, or why there is none; in the order asked.</param>
/// <param name="CommonFit">One fit to all lives together, or why there is none.</param>
/// <param name="Tests">Likelihood-ratio tests: <c>equal-shape</c>, <c>equal-scale-given-shape</c>, <c>equal-life</c>.</param>
/// <param name="Effects">Ratios <c>b10-ratio</c>, <c>median-ratio</c>, <c>mean-ratio</c> of each later cohort over the first.</param>
/// <param name="Warnings">What holds for the comparison as a whole.</param>
public sealed record CohortComparison(
    IReadOnlyList<Estimable<IFittedLife>> Fits,
    Estimable<IFittedLife> CommonFit,
    IReadOnlyList<CohortTest> Tests,
    IReadOnlyList<CohortEffect> Effects,
    IReadOnlyList<EngineWarning> Warnings);
