using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

public sealed class RequestTests
{
    private static FitOptions Bootstrap(double level, int replicates) =>
        new() { BoundsMethod = BoundsMethod.Bootstrap, ConfidenceLevel = level, Replicates = replicates };

    private static readonly LifeSample Sample =
        new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddSurvived(300, count: 5).Build();

    [Fact]
    public void Options_that_can_never_work_are_refused_by_name()
    {
        foreach (var level in (double[])[0, 1, -1, double.NaN, double.PositiveInfinity])
            Assert.Equal("confidence_level", Refused("weibull", new FitOptions { ConfidenceLevel = level }));
        foreach (var method in (BoundsMethod[])[BoundsMethod.Calibrated, BoundsMethod.Exact])
            Assert.Equal("bounds_method", Refused("gamma", new FitOptions { BoundsMethod = method }));
        Assert.Equal("bounds_method", Refused("normal", new FitOptions { BoundsMethod = BoundsMethod.Bootstrap }));
        foreach (var (level, replicates) in new[] { (0.95, 98), (0.95, 20_001), (0.9999, 19_998), (0.999, 1998) })
            Assert.Equal("replicates", Refused("weibull", Bootstrap(level, replicates)));
        Assert.Equal("bounds_method", Refused("lognormal", Holding("sigma", 1) with { BoundsMethod = BoundsMethod.Exact }));
        Assert.Equal("fixed_parameters[scale]", Refused("weibull", Holding("scale", 1)));
        Assert.Equal("fixed_parameters[mean]", Refused("exponential", Holding("mean", 1)));
        foreach (var shape in (double[])[0, -2, double.NaN, double.PositiveInfinity])
            Assert.Equal("fixed_parameters[shape]", Refused("weibull", Holding("shape", shape)));
    }

    [Theory]
    [InlineData(0.95, 99)]
    [InlineData(0.999, 1999)]
    [InlineData(0.9999, 19_999)]
    public void As_many_replicates_as_a_level_needs_are_taken(double level, int replicates) =>
        Assert.Equal(replicates, Asked.Model("weibull").Fit(Sample, Bootstrap(level, replicates)).Value.Simulation?.Replicates);

    [Fact]
    public void Questions_out_of_range_are_refused()
    {
        var life = Asked.Model("weibull").Fit(Sample, FitOptions.Default).Value;

        foreach (var fraction in (double[])[0, 1, 1.5, double.NaN])
        {
            Assert.Throws<ArgumentOutOfRangeException>(() => life.PercentileLife(fraction));
            Assert.Throws<ArgumentOutOfRangeException>(() => life.RemainingLife(10, fraction));
        }

        foreach (var hours in (double[])[-1, double.NaN, double.PositiveInfinity])
        {
            Assert.Throws<ArgumentOutOfRangeException>(() => life.Reliability(hours));
            Assert.Throws<ArgumentOutOfRangeException>(() => life.MeanRemainingLife(hours));
            Assert.Throws<ArgumentOutOfRangeException>(() => life.ConditionalReliability(hours, 1));
            Assert.Throws<ArgumentOutOfRangeException>(() => life.Curve([hours]));
        }
    }

    [Fact]
    public void At_age_0_remaining_life_is_life_and_reliability_is_certain()
    {
        var life = Asked.Model("weibull").Fit(Sample, FitOptions.Default).Value;

        Assert.Equal(life.Mean().Value, life.MeanRemainingLife(0).Value);
        Assert.Equal(life.PercentileLife(0.5).Lower, life.RemainingLife(0, 0.5).Lower);
        Assert.Equal((1, 1, 1), (life.Reliability(0).Value, life.Reliability(0).Lower, life.Reliability(0).Upper));
        Assert.Equal(1, life.ConditionalReliability(50, 0).Value);
    }

    [Fact]
    public void Cancellation_is_honoured()
    {
        using var source = new CancellationTokenSource();
        source.Cancel();

        Assert.Throws<OperationCanceledException>(() => Asked.Model("weibull").Fit(Sample, FitOptions.Default, source.Token));
        var life = Asked.Model("weibull").Fit(Sample, FitOptions.Default).Value;
        Assert.Throws<OperationCanceledException>(() => life.Mean(source.Token));
    }

    [Fact]
    public void Samples_without_a_maximum_are_refused_with_their_reason()
    {
        Assert.Equal(NotEstimableReasons.NoObservations, Reason("weibull", LifeSample.Empty));
        Assert.Equal(NotEstimableReasons.NoObservations, Reason("exponential", LifeSample.Empty));
        Assert.Equal(NotEstimableReasons.NoFailures, Reason("weibull", new LifeSampleBuilder().AddSurvived(5).Build()));

        // One age agrees with every life: 100 h lies in all intervals and no survivor went beyond.
        Assert.Equal(NotEstimableReasons.MaximumAtInfinity, Reason("weibull", new LifeSampleBuilder()
            .AddBetween(50, 120).AddBetween(90, 150).AddSurvived(95).Build()));

        // Failures known only to lie below their inspection, the survivors inspected no earlier.
        Assert.Equal(NotEstimableReasons.MaximumAtInfinity, Reason("lognormal", new LifeSampleBuilder()
            .AddBetween(0, 100, count: 5).AddSurvived(50, count: 2).AddSurvived(300, count: 3).Build()));
        Assert.Equal(NotEstimableReasons.MaximumAtInfinity, Reason("exponential", new LifeSampleBuilder()
            .AddBetween(0, 100).Build()));
        Assert.Equal(NotEstimableReasons.AllFailuresAtGreatestTime, Reason("lognormal", new LifeSampleBuilder()
            .AddFailed(100, 50).AddSurvived(80, 20).Build()));
    }

    /// <summary>Two intervals that only touch leave a ridge of finite height: refused outright without late entry, and with
    /// it whatever comes back must be a maximum or a reason, never a runaway shape.</summary>
    [Fact]
    public void Touching_intervals_are_decided_by_the_likelihood_under_late_entry()
    {
        static LifeSample Touching(double entry) => new LifeSampleBuilder()
            .AddBetween(20, 100, entry, 5).AddBetween(100, 200, entry, 5).AddSurvived(60, 30, 3).Build();
        var model = Asked.Model("weibull");

        Assert.Equal(NotEstimableReasons.MaximumAtInfinity, Reason("weibull", new LifeSampleBuilder()
            .AddBetween(0, 100, count: 5).AddBetween(100, 200, count: 5).Build()));
        if (model.Fit(Touching(10), FitOptions.Default).TryGet(out var life, out var reason))
            Assert.InRange(life.Parameters[0].Estimate.Value!.Value, 0.01, 1000);
        else
            Assert.Contains(reason.Reason, (string[])[NotEstimableReasons.MaximumAtInfinity, NotEstimableReasons.NoConvergence]);
    }

    [Fact]
    public void Current_status_data_with_older_failures_have_a_maximum()
    {
        var sample = new LifeSampleBuilder()
            .AddBetween(0, 100, count: 1).AddSurvived(100, count: 9)
            .AddBetween(0, 200, count: 4).AddSurvived(200, count: 6)
            .AddBetween(0, 400, count: 8).AddSurvived(400, count: 2).Build();

        var life = Asked.Model("weibull").Fit(sample, FitOptions.Default).Value;

        Assert.InRange(life.Parameters[0].Estimate.Value!.Value, 1, 3);
    }

    [Fact]
    public void Warnings_say_how_far_to_believe()
    {
        var life = Asked.Model("weibull").Fit(
            new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddSurvived(300, count: 50).Build(), FitOptions.Default).Value;

        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.FewFailures);
        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.HeavyCensoring);
        Assert.Contains(life.Reliability(301).Notes, w => w.Code == WarningCodes.Extrapolation);
        Assert.DoesNotContain(life.Reliability(300).Notes, w => w.Code == WarningCodes.Extrapolation);
        Assert.Contains(life.PercentileLife(0.005).Notes, w => w.Code == WarningCodes.Extrapolation);
        Assert.Contains(life.PercentileLife(0.5).Notes, w => w.Code == WarningCodes.Extrapolation);
    }

    [Fact]
    public void The_catalogue_offers_models_by_id_with_the_default_first()
    {
        Assert.Same(Asked.Catalog.Default, Asked.Catalog.Models[0]);
        Assert.Equal(["weibull", "exponential", "lognormal", "loglogistic", "weibull3", "weibull-mixture2", "weibull-competing", "gamma", "normal", "generalized-gamma"], Asked.Catalog.Models.Select(m => m.Description.Id));
        Assert.False(Asked.Catalog.TryGet("WEIBULL", out _));
        Assert.Throws<ArgumentException>(() => BuiltInLifeModels.CreateCatalog(Asked.Catalog.Default));
        Assert.Matches(@"^\d+\.\d+\.\d+", Asked.Catalog.EngineVersion);
    }

    /// <summary>Lognormal held at sigma with no failures: exp(sum log R) = 1 - confidence at the bound.</summary>
    [Fact]
    public void Without_failures_the_bound_is_where_surviving_had_probability_one_less_confidence()
    {
        var sample = new LifeSampleBuilder().AddSurvived(500, count: 7).AddSurvived(900, 200, 3).Build();
        var model = Asked.Model("lognormal");

        var life = model.Fit(sample, Holding("sigma", 0.8) with { ConfidenceLevel = 0.9 }).Value;

        double[] at = [life.Parameters[0].Estimate.Lower!.Value, 0.8];
        var survival = new double[3];
        model.Family!.LogSurvival(at, [500, 900, 200], survival);
        Assert.Equal(0.1, Math.Exp(7 * survival[0] + 3 * (survival[1] - survival[2])), 1e-10);
    }

    private static FitOptions Holding(string name, double value) =>
        new() { FixedParameters = new Dictionary<string, double> { [name] = value } };

    private static string Refused(string model, FitOptions options) =>
        Assert.Throws<UnsupportedRequestException>(() => Asked.Model(model).Fit(Sample, options)).Option;

    private static string? Reason(string model, LifeSample sample) =>
        Asked.Model(model).Fit(sample, FitOptions.Default).NotEstimable?.Reason;
}
