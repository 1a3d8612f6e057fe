namespace Reliability.Benchmarks.Harness;

/// <summary>One measured number.</summary>
/// <param name="Name">What was measured.</param>
/// <param name="Value">The number.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Target">What it should reach, if a target was set.</param>
internal sealed record Figure(string Name, double Value, string Unit, Target? Target = null);
