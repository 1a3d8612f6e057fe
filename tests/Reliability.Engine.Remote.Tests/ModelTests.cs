using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>What a well-behaved plug-in answers is what its formulas give.</summary>
public sealed class ModelTests(WellBehaved plugIn) : IClassFixture<WellBehaved>
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private readonly Hosted _hosted = plugIn.Hosted;

    [Fact]
    public void A_family_answers_batches_larger_than_a_message()
    {
        const int Ages = 150_000;
        var hours = Enumerable.Range(1, Ages).Select(i => i * 0.01).ToArray();
        var result = new double[Ages];
        _hosted.Family.LogDensity([0.01, 1000], hours, result);
        for (var i = 0; i < Ages; i += 997)
            Assert.Equal(Math.Log(1e-5) + hours[i] / 1000 - 0.01 * (Math.Exp(hours[i] / 1000) - 1), result[i], 1e-12);
        Assert.Null(_hosted.Family.Mean([0.01, 1000]));
    }

    [Fact]
    public void A_likelihood_takes_one_call_a_set_of_parameters()
    {
        const int Sets = 20;
        double[] failures = [100, 200, 300], survivors = [400, 500], result = new double[3];
        var before = _hosted.PlugIn.Calls;
        for (var i = 0; i < Sets; i++)
        {
            var shape = 0.01 * (1 + i);
            _hosted.Family.LogDensity([shape, 1000], failures, result);
            Assert.Equal(Math.Log(shape / 1000) + 0.3 - shape * (Math.Exp(0.3) - 1), result[2], 1e-12);
            _hosted.Family.LogSurvival([shape, 1000], survivors, result.AsSpan(0, 2));
            Assert.Equal(-shape * (Math.Exp(0.5) - 1), result[1], 1e-12);
        }

        Assert.Equal(Sets + 1, _hosted.PlugIn.Calls - before);

        // Other ages, and other parameters than those of the density, are asked for.
        _hosted.Family.LogDensity([1, 1000], failures, result);
        _hosted.Family.LogSurvival([1, 1000], [400, 501], result.AsSpan(0, 2));
        Assert.Equal(-(Math.Exp(0.501) - 1), result[1], 1e-12);
        _hosted.Family.LogDensity([1, 1000], failures, result);
        _hosted.Family.LogSurvival([2, 1000], [400, 501], result.AsSpan(0, 2));
        Assert.Equal(-2 * (Math.Exp(0.501) - 1), result[1], 1e-12);
    }

    [Fact]
    public void A_family_becomes_a_model_whose_fit_solves_the_likelihood_equation()
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in new double[] { 900, 1800, 2600, 3200, 3500, 3900, 4100, 4400 })
            builder.AddFailed(hours);
        builder.AddSurvived(4500, count: 3);
        var fit = BuiltInLifeModels.FromFamily(_hosted.Family, "Gompertz 1825", "1.0").Fit(builder.Build(), FitOptions.Default, Token).Value;
        var (shape, scale) = (fit.Parameters[0].Estimate.Value!.Value, fit.Parameters[1].Estimate.Value!.Value);

        // At the maximum shape is failures over the sum of exp(t / scale) - 1.
        double[] all = [900, 1800, 2600, 3200, 3500, 3900, 4100, 4400, 4500, 4500, 4500];
        Assert.Equal(8 / all.Sum(t => Math.Exp(t / scale) - 1), shape, 1e-6 * shape);
        Assert.NotNull(fit.PercentileLife(0.1, Token).Lower);
    }

    [Fact]
    public void Its_own_axis_makes_the_line_of_its_straight_parameters_straight()
    {
        var plot = _hosted.Family.Plot;
        Assert.Equal("gompertz", plot.FractionScale);
        foreach (var hours in new double[] { 100, 1000, 3000, 5000 })
        {
            var failed = -Math.Exp(_hosted.LogSurvival(hours)) + 1;
            Assert.Equal(plot.HoursToAxis(hours), plot.FractionToAxis(failed), hours * 1e-3);
            Assert.Equal(failed, plot.AxisToFraction(plot.FractionToAxis(failed)), 1e-9);
        }
    }

    [Fact]
    public void An_estimator_gets_a_sample_of_many_messages_and_answers_every_quantity()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 1; i <= 20_000; i++)
            builder.AddFailed(i);
        builder.AddSurvived(30_000);
        var fit = _hosted.Estimator.Fit(
            builder.Build(), FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation },
            Token).Value;
        Assert.Equal(10_000.5, fit.Parameters[0].Estimate.Value!.Value, 1e-9);
        Assert.Equal(10_000.5, fit.Mean(Token).Value!.Value, 1e-9);
        Assert.Equal(Math.Exp(-1), fit.Reliability(10_000.5, Token).Value!.Value, 1e-12);
        Assert.Equal("NO_BOUNDS", Assert.Single(fit.Mean(Token).Notes).Code);
        Assert.Equal([0.5, 1], fit.Curve([5_000.25, 10_000.5], Token).Select(p => p.AxisFraction!.Value), (a, b) => Math.Abs(a - b) < 1e-12);
    }

    [Fact]
    public void An_estimator_says_that_there_is_no_fit_and_refuses_what_it_cannot()
    {
        var alive = new LifeSampleBuilder().AddSurvived(100).Build();
        var options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };
        Assert.Equal("NO_FAILURES", _hosted.Estimator.Fit(alive, options, Token).NotEstimable!.Reason);
        Assert.Equal(
            "bounds_method", Assert.Throws<UnsupportedRequestException>(() => _hosted.Estimator.Fit(alive, FitOptions.Default, Token)).Option);
    }

    [Fact]
    public void The_log_says_how_it_is_held()
    {
        Assert.Contains(_hosted.Log, line => line.Contains("gompertz 1.0 answers", StringComparison.Ordinal)
            && (line.Contains("watched", StringComparison.Ordinal) || line.Contains("cgroup v2", StringComparison.Ordinal))
            && line.Contains("by the system with the host", StringComparison.Ordinal));
    }
}
