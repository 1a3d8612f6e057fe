namespace Reliability.Reference;

/// <summary>A test of a reference case.</summary>
public sealed record ReferenceTest(string Name, double Statistic, int DegreesOfFreedom, double PValue);
