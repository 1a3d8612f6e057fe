namespace Reliability.Plots.Probability;

/// <summary>The axes of a probability plot, as the life model gives them.</summary>
/// <param name="HoursScale">Scale of run-hours: "log" or "linear".</param>
/// <param name="FractionTicks">Labelled places on the axis of fractions failed.</param>
public sealed record ProbabilityAxes(string HoursScale, IReadOnlyList<FractionTick> FractionTicks);
