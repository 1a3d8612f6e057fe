namespace Reliability.Reference;

/// <summary>A number with bounds; null where it is absent (or, in an expectation, not stated).</summary>
public sealed record Answer(double? Value, double? Lower, double? Upper, double? StandardError = null);
