using System.Text.Json;

namespace Reliability.Reference;

/// <summary>Groups A and B of a case against each other.</summary>
public sealed class ReferenceComparison(JsonElement element)
{
    /// <summary>Fit of one group alone.</summary>
    public ReferenceFit Separate(string group) =>
        new("weibull", element.GetProperty("weibull").GetProperty("separate").GetProperty(group));

    /// <summary>Tests by the name the product gives them.</summary>
    public IReadOnlyList<ReferenceTest> Tests
    {
        get
        {
            var weibull = element.GetProperty("weibull");
            var tests = new List<ReferenceTest>
            {
                Test("equal-shape", weibull.GetProperty("lr_equal_shape"), "statistic"),
                Test("equal-scale-given-shape", weibull.GetProperty("lr_equal_scale_given_common_shape"), "statistic"),
                Test("equal-life", weibull.GetProperty("lr_all_equal"), "statistic"),
            };
            if (element.TryGetProperty("log_rank", out var logRank))
                tests.Add(Test("log-rank", logRank, "chisq"));
            return tests;
        }
    }

    /// <summary>Restricted means and their variances by group; none where the case has none.</summary>
    public IReadOnlyList<(string Group, double Limit, double Mean, double Variance)> RestrictedMeans =>
        element.TryGetProperty("restricted_mean", out var restricted)
            ?
            [
                .. "AB".Select(letter => letter.ToString()).Select(group => (
                    group, restricted.GetProperty("tau").GetDouble(), restricted.GetProperty(group).GetDouble(),
                    restricted.GetProperty("var_" + group).GetDouble())),
            ]
            : [];

    /// <summary>Ratios of A over B with normal-approximation bounds, by effect name.</summary>
    /// <param name="level">0.95 or 0.90.</param>
    public IReadOnlyList<(string Name, Answer Expected)> RatiosOfAOverB(double level) =>
    [
        .. new[] { ("b10-ratio", "B10"), ("median-ratio", "median"), ("mean-ratio", "mean") }.Select(pair =>
        {
            var entry = element.GetProperty("ratio_A_over_B_separate_fits").GetProperty(pair.Item2);
            var interval = entry.GetProperty(level == 0.95 ? "ci95" : "ci90");
            var value = entry.GetProperty("value").GetDouble();
            return (pair.Item1, new Answer(
                value, interval[0].GetDouble(), interval[1].GetDouble(), value * entry.GetProperty("se_log").GetDouble()));
        }),
    ];

    private static ReferenceTest Test(string name, JsonElement entry, string statistic) => new(
        name, entry.GetProperty(statistic).GetDouble(), entry.GetProperty("df").GetInt32(), entry.GetProperty("p").GetDouble());
}
