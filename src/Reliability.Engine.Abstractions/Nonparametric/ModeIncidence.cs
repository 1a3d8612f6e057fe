namespace Reliability.Engine.Abstractions;

/// <summary>The share of lives that will have failed by one mode, in the presence of the others.</summary>
/// <param name="FailureMode">The mode; null for failures of which nobody knows it.</param>
/// <param name="Points">One point for each age of failure by this mode, in increasing order.</param>
public sealed record ModeIncidence(string? FailureMode, IReadOnlyList<IncidencePoint> Points);
