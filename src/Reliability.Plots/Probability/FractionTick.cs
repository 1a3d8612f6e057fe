namespace Reliability.Plots.Probability;

/// <summary>A labelled place on the axis of fractions failed.</summary>
/// <param name="Fraction">The fraction failed, between 0 and 1.</param>
/// <param name="Position">Where it lies on the axis.</param>
public readonly record struct FractionTick(double Fraction, double Position);
