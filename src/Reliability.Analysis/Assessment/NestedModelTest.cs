using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>A life model against a wider one that contains it.</summary>
/// <param name="LifeModel">The narrower model.</param>
/// <param name="WiderLifeModel">The wider model.</param>
/// <param name="Statistic">Twice the log-likelihood gained; null when one has no fit.</param>
/// <param name="DegreesOfFreedom">Parameters that the wider one has more.</param>
/// <param name="PValue">Upper tail of chi-square; null when one has no fit.</param>
/// <param name="NotEstimable">Why the test could not be made; null when it was.</param>
/// <param name="AtBorder">Whether the narrower model lies at the border of the wider one: the even mixture of chi-square with the degrees of freedom
/// and one less counts.</param>
public sealed record NestedModelTest(
    string LifeModel, string WiderLifeModel, double? Statistic, int DegreesOfFreedom, double? PValue, NotEstimable? NotEstimable,
    bool AtBorder);
