namespace Reliability.Engine.Conformance;

/// <summary>How far estimates from simulated samples lie from the truth, on the scales where they are unbounded, and their standard errors
/// there: a list an estimate, by its name.</summary>
internal sealed record RecoveredFits(IReadOnlyDictionary<string, List<(double Amount, double? Error)>> Departures);
