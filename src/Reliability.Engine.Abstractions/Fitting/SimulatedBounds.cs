namespace Reliability.Engine.Abstractions;

/// <summary>What bounds by simulation rest on.</summary>
/// <param name="Method">How bounds come out of the simulated samples, in words.</param>
/// <param name="Replicates">Samples simulated.</param>
/// <param name="WithoutEstimate">How many of them allowed no estimate. They count towards where theirs runs, and against either bound where
/// that is not known.</param>
/// <param name="Seed">The seed; the same gives the same bounds.</param>
/// <param name="Plan">How simulated lives are entered and stopped, in words.</param>
public sealed record SimulatedBounds(string Method, int Replicates, int WithoutEstimate, ulong Seed, string Plan);
