using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>A fraction failed, and the age by which it has failed.</summary>
/// <param name="FailureFraction">The fraction, between 0 and 1.</param>
/// <param name="Hours">The age in run-hours, with bounds.</param>
public sealed record PercentileLife(double FailureFraction, BoundedEstimate Hours);
