namespace Reliability.Benchmarks.Harness;

/// <summary>What a figure should reach.</summary>
/// <param name="Limit">The limit.</param>
/// <param name="AtLeast">True when larger is better, false when smaller is.</param>
internal sealed record Target(double Limit, bool AtLeast)
{
    public static Target Least(double limit) => new(limit, true);

    public static Target Most(double limit) => new(limit, false);

    /// <summary>Whether a figure reaches it. What could not be measured (NaN) never does.</summary>
    public bool IsMetBy(double value) => AtLeast ? value >= Limit : value <= Limit;
}
