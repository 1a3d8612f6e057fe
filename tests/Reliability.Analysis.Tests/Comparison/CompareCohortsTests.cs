using Reliability.Analysis.Tests.Fits;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Analysis.Tests.Comparison;

public sealed class CompareCohortsTests
{
    private static readonly CompareCohorts Comparison = new(BuiltInLifeModels.CreateCatalog());

    private static ComparisonAnswer Compare(LifeSample first, LifeSample second, ComparisonQuestion? question = null) =>
        Comparison.Answer([new("new", CohortSample.Inline(first)), new("refurbished", CohortSample.Inline(second))], question ?? new(),
            TestContext.Current.CancellationToken);

    private static CohortTest Test(ComparisonAnswer answer, string name) => answer.Tests.Single(t => t.Name == name);

    [Fact]
    public void Remission_times_give_the_published_log_rank_and_a_verdict_that_says_what_B10_cannot()
    {
        // Log-rank chi-square 16.79 for 6-mercaptopurine against placebo (Kalbfleisch and Prentice 2002, 1; R survival's survdiff).
        var answer = Compare(Published.Placebo(), Published.Mercaptopurine());

        Assert.Equal(16.79, Test(answer, CohortTestNames.LogRank).Statistic!.Value, 2);
        Assert.Equal(["log-rank", "equal-shape", "equal-scale-given-shape", "equal-life"], answer.Tests.Select(t => t.Name));
        Assert.Equal(["b10-ratio", "median-ratio", "mean-ratio"], answer.Effects.Select(e => e.Name));
        // The B10 ratio alone does not decide here: its bounds hold 1, although the lives differ clearly later on.
        Assert.Equal(VerdictCode.NotShown, answer.Verdict.Code);
        Assert.Contains("log-rank p-value below 0.001", answer.Verdict.Text, StringComparison.Ordinal);
        Assert.Contains("95 % calibrated bounds", answer.Verdict.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(answer.Warnings, w => w.Code == AnalysisWarningCodes.CoverageBelowNominal);
    }

    [Theory]
    [InlineData(BoundsMethod.LikelihoodRatio, "95 % likelihood ratio bounds", "a 95 % likelihood-ratio bound of a B10 life missed on one side in up to 8 %")]
    [InlineData(BoundsMethod.NormalApproximation, "95 % normal approximation bounds", "a 95 % normal-approximation bound of a B10 life missed on one side in up to 20 %")]
    public void Bounds_that_are_not_calibrated_are_named_with_the_coverage_to_expect(BoundsMethod method, string named, string expected)
    {
        var answer = Compare(Published.Placebo(), Published.Mercaptopurine(), new() { BoundsMethod = method });

        Assert.Contains(named, answer.Verdict.Text, StringComparison.Ordinal);
        Assert.Contains(expected, answer.Verdict.Text, StringComparison.Ordinal);
        Assert.Contains(expected, answer.Warnings.Single(w => w.Code == AnalysisWarningCodes.CoverageBelowNominal).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cohort_with_one_failure_takes_the_verdict_back_to_likelihood_ratio_and_says_so()
    {
        var one = new LifeSampleBuilder().AddFailed(150).AddSurvived(600, count: 9).Build();

        var answer = Compare(Published.Nist(), one);

        Assert.Contains("95 % likelihood ratio bounds", answer.Verdict.Text, StringComparison.Ordinal);
        Assert.Contains(answer.Warnings, w => w.Code == WarningCodes.BoundsByLikelihoodRatio);
        Assert.Contains(answer.Warnings, w => w.Code == AnalysisWarningCodes.CoverageBelowNominal);
    }

    [Fact]
    public void The_other_way_round_the_ratios_invert_and_the_verdict_turns()
    {
        var answer = Compare(Published.Nist(), Longer());
        var turned = Compare(Longer(), Published.Nist());

        Assert.Equal(VerdictCode.SecondLonger, answer.Verdict.Code);
        Assert.Equal(VerdictCode.SecondShorter, turned.Verdict.Code);
        Assert.All(answer.Effects.Zip(turned.Effects), e =>
        {
            Assert.Equal(1, e.First.Ratio.Value!.Value * e.Second.Ratio.Value!.Value, 1e-9);
            Assert.Equal(1, e.First.Ratio.Lower!.Value * e.Second.Ratio.Upper!.Value, 1e-6);
        });
        Assert.All(answer.Tests.Zip(turned.Tests), t => Assert.Equal(t.First.Statistic!.Value, t.Second.Statistic!.Value, 1e-6));
    }

    /// <summary>The handbook's units, each lasting four times as long.</summary>
    private static LifeSample Longer()
    {
        var rows = new LifeSampleBuilder();
        foreach (var hours in Published.NistFailures)
            rows.AddFailed(4 * hours);
        return rows.AddSurvived(2000, count: 10).Build();
    }

    [Fact]
    public void Alike_cohorts_cannot_be_told_apart()
    {
        var answer = Compare(Published.Nist(), Published.Nist());

        Assert.Equal(VerdictCode.NotShown, answer.Verdict.Code);
        Assert.StartsWith("These data cannot tell", answer.Verdict.Text, StringComparison.Ordinal);
        Assert.Equal(1, answer.Effects[0].Ratio.Value!.Value, 1e-9);
    }

    [Fact]
    public void A_cohort_without_failures_leaves_its_reason_and_the_rest_answers()
    {
        var survivors = new LifeSampleBuilder().AddSurvived(600, count: 30).Build();

        var answer = Compare(Published.Nist(), survivors);

        Assert.Equal(606.5276, answer.Cohorts[0].Fit.Value.Parameters[1].Estimate.Value!.Value, 3);
        Assert.Equal(NotEstimableReasons.NoFailures, answer.Cohorts[1].Fit.NotEstimable!.Reason);
        Assert.NotNull(Test(answer, CohortTestNames.LogRank).PValue);
        Assert.Equal(
            NotEstimableReasons.CohortNotEstimable, Test(answer, CohortTestNames.EqualLife).NotEstimable!.Reason);
        Assert.Empty(answer.Effects);
        Assert.Equal(VerdictCode.NotComparable, answer.Verdict.Code);
        Assert.Contains("log-rank", answer.Verdict.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Lives_that_failed_between_two_ages_leave_the_log_rank_out_and_the_rest_answers()
    {
        var found = new LifeSampleBuilder().AddBetween(100, 200, count: 4).AddBetween(200, 400, count: 6).AddSurvived(500, count: 5).Build();

        var answer = Compare(Published.Nist(), found);

        Assert.Equal(NotEstimableReasons.IntervalOutcomes, Test(answer, CohortTestNames.LogRank).NotEstimable!.Reason);
        Assert.NotNull(Test(answer, CohortTestNames.EqualLife).PValue);
        Assert.NotEmpty(answer.Effects);
        Assert.NotEqual(VerdictCode.NotComparable, answer.Verdict.Code);
    }

    [Fact]
    public void A_verdict_that_hangs_on_ambiguous_removals_is_warned_of()
    {
        var rows = new LifeSampleBuilder();
        foreach (var hours in Published.NistFailures)
            rows.AddSurvived(hours / 4).AddFailed(hours * 5);
        var other = new LifeSampleBuilder();
        foreach (var hours in Published.NistFailures)
            other.AddFailed(hours / 4).AddFailed(hours * 5);
        var clear = CohortSample.Inline(Published.Nist());
        var ambiguous = CohortSample.Inline(rows.Build()) with { IfAmbiguousFailed = other.Build() };

        var warned = Comparison.Answer([new("new", clear), new("refurbished", ambiguous)], new(), TestContext.Current.CancellationToken);
        var unwarned = Comparison.Answer([new("new", clear), new("refurbished", ambiguous with { IfAmbiguousFailed = null })], new(), TestContext.Current.CancellationToken);

        Assert.Equal(VerdictCode.SecondLonger, warned.Verdict.Code);

        // The other verdict is the one that its own lives lead to, its own log-rank test included.
        var own = Comparison.Answer([new("new", clear), new("refurbished", CohortSample.Inline(other.Build()))], new(), TestContext.Current.CancellationToken);
        Assert.NotEqual(warned.Verdict.Code, own.Verdict.Code);
        Assert.EndsWith(own.Verdict.Text, warned.Warnings.Single(w => w.Code == RecordWarningCodes.OutcomePolicyMatters).Text, StringComparison.Ordinal);
        Assert.DoesNotContain(unwarned.Warnings, w => w.Code == RecordWarningCodes.OutcomePolicyMatters);
    }

    [Theory]
    [InlineData(10, 100, true)]
    [InlineData(10, 30, false)]
    [InlineData(50, 100, false)]
    public void Unequal_reading_habits_are_warned_of(double firstDays, double secondDays, bool warned)
    {
        CohortSample Read(double days)
        {
            var sample = CohortSample.Inline(Published.Nist());
            return sample with { Summary = sample.Summary with { MedianDaysSinceLastReading = days } };
        }

        var answer = Comparison.Answer([new("new", Read(firstDays)), new("refurbished", Read(secondDays))], new(), TestContext.Current.CancellationToken);

        Assert.Equal(warned, answer.Warnings.Any(w => w.Code == RecordWarningCodes.UnequalReadingHabits));
    }

    [Fact]
    public void A_model_that_does_not_compare_gives_its_fits_alone()
    {
        var comparison = new CompareCohorts(BuiltInLifeModels.CreateCatalog(new PlainModel()));

        var answer = comparison.Answer(
            [new("new", CohortSample.Inline(Published.Nist())), new("refurbished", CohortSample.Inline(Published.Nist()))],
            new() { LifeModel = "plain" },
            TestContext.Current.CancellationToken);

        Assert.All(answer.Cohorts, c => Assert.NotNull(c.Fit.Value.LogLikelihood));
        Assert.Equal(VerdictCode.NotComparable, answer.Verdict.Code);
        Assert.Contains(answer.Warnings, w => w.Code == AnalysisWarningCodes.NoComparisonByModel);
    }

    [Theory]
    [InlineData("groups", 1)]
    [InlineData("groups", 3)]
    public void Other_than_two_cohorts_are_refused(string field, int count)
    {
        var groups = Enumerable.Range(0, count).Select(i => new ComparisonGroup($"{i}", CohortSample.Inline(Published.Nist()))).ToList();

        Assert.Equal(field, Assert.Throws<RequestRefusedException>(() => Comparison.Answer(groups, new(), TestContext.Current.CancellationToken)).Field);
    }

    [Theory]
    [InlineData("", "b", "groups[0].name")]
    [InlineData("a", "a", "groups[1].name")]
    public void Names_must_be_there_and_differ(string first, string second, string field)
    {
        var lives = CohortSample.Inline(Published.Nist());

        Assert.Equal(field, Assert.Throws<RequestRefusedException>(() => Comparison.Answer([new(first, lives), new(second, lives)], new(), TestContext.Current.CancellationToken)).Field);
    }
}
