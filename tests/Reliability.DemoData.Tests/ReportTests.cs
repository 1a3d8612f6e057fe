using Reliability.DemoData.Report;
using Reliability.DemoData.Scenario;
using Reliability.V1;

namespace Reliability.DemoData.Tests;

public sealed class ReportTests
{
    private const StringSplitOptions Cells = StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries;

    private static readonly Family Lamp = Network.Brindlemoor.Families[0];

    [Fact]
    public void A_table_aligns_its_columns_in_plain_ASCII()
    {
        using var output = new StringWriter { NewLine = "\n" };

        new TextTable("quantity", "truth").Row("shape", "3.00").Row("B10 life, h", "1,086").WriteTo(output);

        Assert.Equal(
            "  quantity     truth\n  ------------------\n  shape         3.00\n  B10 life, h  1,086\n",
            output.ToString());
    }

    [Fact]
    public void A_row_with_a_cell_too_few_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new TextTable("one", "two").Row("alone"));

    [Theory]
    [InlineData(10.0, 20.0, 15.0, true)]
    [InlineData(10.0, 20.0, 9.9, false)]
    [InlineData(10.0, 20.0, 20.1, false)]
    [InlineData(10.0, null, 1e9, true)]
    [InlineData(10.0, null, 9.0, false)]
    [InlineData(null, 20.0, 19.0, true)]
    [InlineData(null, 20.0, 21.0, false)]
    public void Bounds_hold_what_lies_between_them(double? lower, double? upper, double truth, bool expected)
    {
        var estimate = new Estimate();
        if (lower is { } from)
            estimate.Lower = from;
        if (upper is { } to)
            estimate.Upper = to;

        Assert.Equal(expected, Bounds.Hold(estimate, truth));
    }

    [Fact]
    public void Without_bounds_nothing_is_said() =>
        Assert.Null(Bounds.Hold(new Estimate { Value = 3 }, 3));

    [Fact]
    public void Each_condition_stands_beside_its_truth_and_misses_are_told()
    {
        var answer = new CompareCohortsResponse
        {
            Cohorts = { Cohort("new", Fit(Lamp.New, 0.9, 1.1)), Cohort("refurbished", Fit(Lamp.TruthFor(1), 1.05, 1.1)) },
            Effects = { new CohortEffect { Name = "b10-ratio", Estimate = new Estimate { Value = 0.8, Lower = 0.7, Upper = 0.9 } } },
            Tests =
            {
                new CohortTest { Name = "equal-shape", PValue = 0.25 },
                new CohortTest { Name = "log-rank", NotEstimable = new NotEstimable { Text = "some failed between two ages" } },
            },
            Verdict = new Verdict { Text = "These data cannot tell." },
        };
        using var output = new StringWriter { NewLine = "\n" };

        FamilySection.Write(output, Lamp, answer);

        var lines = output.ToString().Split('\n').Select(line => line.Split("  ", Cells)).ToList();
        Assert.Contains(["shape", "new", "3.00", "3.00", "2.70", "3.30", "yes"], lines);
        Assert.Contains(["shape", "refurbished", "2.60", "2.60", "2.73", "2.86", "no"], lines);
        Assert.Contains(["b10-ratio", "0.736", "0.800", "0.700", "0.900", "yes"], lines);
        Assert.Contains("equal-shape: p = 0.2500", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("log-rank: no answer: some failed between two ages", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_failures_lower_bounds_alone_stand_beside_the_truth()
    {
        var classic = Network.Brindlemoor.Families.Single(family => family.ModelId == Network.WithoutFailures.ModelId);
        var fit = new LifeFit
        {
            PercentileLives = { new PercentileLife { FailureFraction = 0.10, Hours = new Estimate { Lower = 8_960 } } },
            Reliability = { new ReliabilityPoint { Hours = 8_000, Probability = new Estimate { Lower = 0.928 } } },
        };
        var answer = new FitLivesResponse { Fit = fit, SampleSummary = new SampleSummary { LifeCount = 74 } };
        using var output = new StringWriter { NewLine = "\n" };

        WithoutFailuresSection.Write(output, classic, "Dunmarrow Lakeside", [(3, answer)]);

        var lines = output.ToString().Split('\n').Select(line => line.Split("  ", Cells)).ToList();
        Assert.Contains(["reliability at 8,000 h", "3.0", "1.000", "0.928", "yes"], lines);
        // 200,000 * (-ln 0.9)^(1/3), worked out apart.
        Assert.Contains(["B10 life, h", "3.0", "94,462", "8,960", "yes"], lines);
    }

    private static CohortResult Cohort(string name, LifeFit fit) =>
        new() { Name = name, Fit = fit, SampleSummary = new SampleSummary { LifeCount = 10, ModuleCount = 9 } };

    private static LifeFit Fit(TrueLife truth, double lower, double upper)
    {
        return new LifeFit
        {
            Parameters = { ["shape"] = Around(truth.Shape), ["scale"] = Around(truth.Scale) },
            MeanLife = Around(truth.MeanHours),
            PercentileLives =
            {
                new PercentileLife { FailureFraction = 0.10, Hours = Around(truth.PercentileHours(0.10)) },
                new PercentileLife { FailureFraction = 0.50, Hours = Around(truth.PercentileHours(0.50)) },
            },
            Reliability =
            {
                new ReliabilityPoint { Hours = Lamp.RatedHours, Probability = Around(truth.Reliability(Lamp.RatedHours)) },
            },
        };

        Estimate Around(double value) => new() { Value = value, Lower = lower * value, Upper = upper * value };
    }
}
