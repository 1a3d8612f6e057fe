using Reliability.DemoData.Scenario;

namespace Reliability.DemoData.Report;

/// <summary>The true size of the differences that a comparison estimates.</summary>
internal static class Effects
{
    /// <summary>What a comparison estimates.</summary>
    public static IReadOnlyList<string> Names { get; } = ["b10-ratio", "median-ratio", "mean-ratio"];

    /// <summary>The true ratio, refurbished over new. Throws ArgumentException for a name that the contract does not list.</summary>
    public static double Truth(string name, Family family)
    {
        var (first, second) = (family.New, family.TruthFor(1));
        return name switch
        {
            "b10-ratio" => second.PercentileHours(0.10) / first.PercentileHours(0.10),
            "median-ratio" => second.PercentileHours(0.50) / first.PercentileHours(0.50),
            "mean-ratio" => second.MeanHours / first.MeanHours,
            _ => throw new ArgumentException($"No truth is stated for '{name}'.", nameof(name)),
        };
    }
}
