using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>What a life model makes of two cohorts: fits, likelihood-ratio tests, ratios of second over first.</summary>
internal sealed record Compared(
    IReadOnlyList<Estimable<IFittedLife>> Fits, IReadOnlyList<CohortTest> Tests, IReadOnlyList<CohortEffect> Effects)
{
    public BoundedEstimate? B10Ratio => Effects.FirstOrDefault(e => e.Name == CohortEffectNames.B10Ratio)?.Ratio;
}
