using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>An age, and the chance to outlast it.</summary>
/// <param name="Hours">Run-hours.</param>
/// <param name="Probability">The probability of surviving them, with bounds.</param>
public sealed record ReliabilityPoint(double Hours, BoundedEstimate Probability);
