namespace Reliability.Engine.Abstractions;

/// <summary>A test of a hypothesis about cohorts, referred to the chi-square distribution.</summary>
/// <param name="Name">A name of <see cref="CohortTestNames"/>.</param>
/// <param name="Statistic">Chi-square statistic; null when the test could not be made.</param>
/// <param name="DegreesOfFreedom">Degrees of freedom.</param>
/// <param name="PValue">Upper tail probability; null when the test could not be made.</param>
/// <param name="NotEstimable">Why the test could not be made; null when it was.</param>
public sealed record CohortTest(
    string Name, double? Statistic, int DegreesOfFreedom, double? PValue, NotEstimable? NotEstimable = null);
