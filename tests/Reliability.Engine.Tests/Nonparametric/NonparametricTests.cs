using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.Nonparametric;

public sealed class NonparametricTests
{
    [Fact]
    public void Empty_and_level_out_of_range_are_told_apart()
    {
        var estimator = Asked.Catalog.Nonparametric;

        Assert.Equal(NotEstimableReasons.NoObservations, estimator.Estimate(LifeSample.Empty).NotEstimable?.Reason);
        var error = Assert.Throws<UnsupportedRequestException>(() => estimator.Estimate(LifeSample.Empty, 1));
        Assert.Equal("confidence_level", error.Option);
        Assert.Throws<UnsupportedRequestException>(() => estimator.LogRank([LifeSample.Empty]));
    }

    [Fact]
    public void No_failures_leave_an_empty_curve_and_no_median()
    {
        var estimate = Asked.Catalog.Nonparametric.Estimate(new LifeSampleBuilder().AddSurvived(10).Build()).Value;

        Assert.Empty(estimate.Points);
        Assert.Null(estimate.MedianLife.Value);
        Assert.Contains(estimate.MedianLife.Notes, n => n.Code == WarningCodes.NoValue);
    }

    /// <summary>As R survfit prints for Surv(5) with log-log bounds: median 5, bounds NA.</summary>
    [Fact]
    public void A_median_where_the_curve_falls_to_nothing_at_once_has_no_bounds()
    {
        var median = Asked.Catalog.Nonparametric.Estimate(new LifeSampleBuilder().AddFailed(5).Build()).Value.MedianLife;

        Assert.Equal((5, null, null), ((double?)median.Value, median.Lower, median.Upper));
        Assert.Contains(median.Notes, n => n.Code == WarningCodes.NoLowerBound);
        Assert.Contains(median.Notes, n => n.Code == WarningCodes.NoUpperBound);
    }

    /// <summary>Median 23 of the 6-MP arm and 8 of placebo, as R survfit prints them for these data (from memory).</summary>
    [Fact]
    public void The_median_is_the_first_age_at_one_half_or_less()
    {
        var reference = ReferenceCase.Load("leukaemia_6mp");
        double?[] medians = [.. ((string[])["A", "B"]).Select(g => Asked.Catalog.Nonparametric.Estimate(Asked.Sample(reference.Group(g))).Value.MedianLife.Value)];

        Assert.Equal([8, 23], medians.Order());
    }

    [Fact]
    public void Points_are_plotted_half_way_up_their_step()
    {
        var sample = new LifeSampleBuilder().AddFailed(1).AddFailed(2).AddSurvived(3, count: 2).Build();

        var points = Asked.Catalog.Nonparametric.Estimate(sample).Value.Points;

        Assert.Equal([0.125, 0.375], points.Select(p => p.PlottingFraction));
    }

    [Fact]
    public void Lives_that_all_entered_late_are_told_to_be_of_those_that_reached_the_first_entry()
    {
        var late = new LifeSampleBuilder().AddFailed(1_000, entryHours: 800).AddSurvived(1_500, entryHours: 900, count: 20);

        Assert.Contains(Warnings(late), w => w.Code == WarningCodes.ConditionalOnEntry && w.Text.Contains("800", StringComparison.Ordinal));
        Assert.DoesNotContain(Warnings(late.AddSurvived(500)), w => w.Code == WarningCodes.ConditionalOnEntry);

        static IReadOnlyList<EngineWarning> Warnings(LifeSampleBuilder lives) =>
            Asked.Catalog.Nonparametric.Estimate(lives.Build()).Value.Warnings;
    }

    [Fact]
    public void Small_early_risk_sets_under_late_entry_are_warned_of()
    {
        var builder = new LifeSampleBuilder().AddFailed(5).AddSurvived(50);
        for (var i = 0; i < 30; i++)
            builder.AddSurvived(60 + i, 20);
        var late = builder.AddFailed(55).Build();
        var early = new LifeSampleBuilder().AddFailed(55).AddSurvived(60, count: 30).Build();

        Assert.Contains(Warnings(late), w => w.Code == WarningCodes.SmallEarlyRiskSet);
        Assert.DoesNotContain(Warnings(early), w => w.Code == WarningCodes.SmallEarlyRiskSet);

        static IReadOnlyList<EngineWarning> Warnings(LifeSample sample) =>
            Asked.Catalog.Nonparametric.Estimate(sample).Value.Warnings;
    }

    [Fact]
    public void Cohorts_never_at_risk_together_are_not_compared()
    {
        var early = new LifeSampleBuilder().AddFailed(1).AddFailed(2).Build();
        var late = new LifeSampleBuilder().AddFailed(11, 10).AddFailed(12, 10).Build();

        Assert.Equal(
            NotEstimableReasons.NoCommonRisk, Asked.Catalog.Nonparametric.LogRank([early, late]).NotEstimable?.Reason);
    }
}
