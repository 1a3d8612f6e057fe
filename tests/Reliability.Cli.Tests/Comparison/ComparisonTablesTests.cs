using Reliability.Cli.Comparison;
using Reliability.Cli.Tests.Fits;
using Reliability.Cli.Tests.Terminals;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Comparison;

public sealed class ComparisonTablesTests
{
    [Fact]
    public void A_comparison_shows_verdict_cohorts_ratios_and_tests()
    {
        MemoryTerminal terminal = new();
        ComparisonTables.Write(terminal.Terminal, new CompareCohortsResponse
        {
            Verdict = new Verdict { Code = Verdict.Types.Code.SecondShorter, Text = "Refurbished ones last less long." },
            Cohorts =
            {
                new CohortResult { Name = "new", Fit = ExampleFits.Fitted(), SampleSummary = new SampleSummary { LifeCount = 20, FailedCount = 10, SurvivedCount = 10 } },
                new CohortResult { Name = "refurbished", Fit = ExampleFits.BoundOnly(), SampleSummary = new SampleSummary { LifeCount = 7, SurvivedCount = 7 } },
            },
            Effects = { new CohortEffect { Name = "b10-ratio", Estimate = ExampleFits.Both(0.7, 0.5, 0.95) } },
            Tests =
            {
                new CohortTest { Name = "equal-life", Statistic = 6.1, DegreesOfFreedom = 2, PValue = 0.0474 },
                new CohortTest { Name = "log-rank", DegreesOfFreedom = 1, NotEstimable = new NotEstimable { Reason = "INTERVAL_OUTCOMES", Text = "Failures were found late." } },
            },
        });
        Assert.StartsWith("Verdict (second shorter): Refurbished ones last less long.", terminal.Out, StringComparison.Ordinal);
        Assert.Equal(["mean life, h", "540.74 (390.2 to 811.9)", "at least 2,658"], terminal.Row("mean life"));
        Assert.Contains("Ratios, refurbished over new:", terminal.Out, StringComparison.Ordinal);
        Assert.Equal(["b10-ratio", "0.7", "0.5", "0.95", "both sides"], terminal.Row("b10-ratio"));
        Assert.Equal(["equal-life", "6.1", "2", "0.0474"], terminal.Row("equal-life"));
        Assert.Equal(["log-rank", "–", "1", "–"], terminal.Row("log-rank"));
        Assert.Contains("  - log-rank: Failures were found late. [INTERVAL_OUTCOMES]", terminal.Out, StringComparison.Ordinal);
        Assert.Contains("95 % bounds: of new by likelihood ratio; of refurbished exact;", terminal.Out, StringComparison.Ordinal);
        Assert.Contains("new: 20 lives: 10 failed, 0 failed between two ages, 10 survived.", terminal.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cohort_without_a_fit_says_why()
    {
        MemoryTerminal terminal = new();
        ComparisonTables.Write(terminal.Terminal, new CompareCohortsResponse
        {
            Cohorts = { new CohortResult { Name = "new", NotEstimable = new NotEstimable { Reason = "NO_FAILURES", Text = "There are no failures." } } },
        });
        Assert.Contains("new: no fit. There are no failures. [NO_FAILURES]", terminal.Out, StringComparison.Ordinal);
    }
}
