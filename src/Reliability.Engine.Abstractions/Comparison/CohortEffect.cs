namespace Reliability.Engine.Abstractions;

/// <summary>How much one cohort differs from another.</summary>
/// <param name="Name">A name of <see cref="CohortEffectNames"/>.</param>
/// <param name="Cohort">Index of the cohort in the numerator.</param>
/// <param name="Reference">Index of the cohort in the denominator.</param>
/// <param name="Ratio">The ratio with its bounds, from the separate fits.</param>
public sealed record CohortEffect(string Name, int Cohort, int Reference, BoundedEstimate Ratio);
