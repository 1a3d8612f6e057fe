namespace Reliability.Engine.Conformance;

/// <summary>An estimate from a simulated sample against the truth.</summary>
/// <param name="Amount">How far it lies from the truth, on the scale where it is unbounded.</param>
/// <param name="Error">Its standard error there; null when there is none.</param>
/// <param name="Holds">Whether its bounds, on both sides, hold the truth; null when there are none.</param>
internal readonly record struct Departure(double Amount, double? Error, bool? Holds);
