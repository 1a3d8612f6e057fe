using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>What an estimator from outside gets from <see cref="DeltaMethod"/> is what our own models answer where both apply.</summary>
public sealed class DeltaMethodTests
{
    private static readonly FitOptions Normal = new() { BoundsMethod = BoundsMethod.NormalApproximation, ConfidenceLevel = 0.9 };

    private static readonly LifeSample Sample = new LifeSampleBuilder()
        .AddFailed(310).AddFailed(480).AddFailed(520).AddFailed(700).AddFailed(760).AddFailed(905).AddFailed(1140)
        .AddSurvived(450).AddSurvived(820).AddSurvived(1200, 0, 3).AddBetween(500, 650, 100)
        .Build();

    // The log-time models have their own path, exact derivatives and closed forms; the others share the quantities but not the covariance.
    [Theory]
    [InlineData("weibull")]
    [InlineData("exponential")]
    [InlineData("lognormal")]
    [InlineData("loglogistic")]
    [InlineData("gamma")]
    [InlineData("normal")]
    public void Every_answer_agrees_with_our_own_of_the_same_estimate(string id)
    {
        var model = Asked.Model(id);
        Assert.True(model.Fit(Sample, Normal).TryGet(out var ours, out _));
        var theirs = DeltaMethod.Fitted(model.Description, model.Family!, Estimate(ours), Sample, Normal);

        foreach (var (mine, other) in ours.Parameters.Zip(theirs.Parameters))
            Agree(mine.Estimate, other.Estimate, $"{id} {mine.Name}");
        foreach (var age in (double[])[1, 300, 900, 2000])
        {
            foreach (var (question, i) in FittedLifeQuestions.Of(age).Select((q, i) => (q, i)))
                Agree(question(ours), question(theirs), $"{id} question {i} at {age} h");
        }

        foreach (var (mine, other) in ours.Curve([10, 500, 3000]).Zip(theirs.Curve([10, 500, 3000])))
        {
            Agree(mine.FailedFraction, other.FailedFraction, $"{id} curve at {mine.Hours} h");
            Assert.Equal(mine.AxisFraction!.Value, other.AxisFraction!.Value, 1e-9);
        }

        Assert.Equal(ours.LogLikelihood, theirs.LogLikelihood);
        Assert.Equal(0.9, theirs.ConfidenceLevel);
        Assert.Equal(BoundsMethod.NormalApproximation, theirs.BoundsMethod);
    }

    [Fact]
    public void A_parameter_that_is_held_has_no_bounds_and_moves_nothing()
    {
        var model = Asked.Model("weibull");
        var options = Normal with { FixedParameters = new Dictionary<string, double> { ["shape"] = 2 } };
        Assert.True(model.Fit(Sample, options).TryGet(out var ours, out _));
        var theirs = DeltaMethod.Fitted(model.Description, model.Family!, Estimate(ours), Sample, options);

        Assert.True(theirs.Parameters[0].IsFixed);
        Assert.Null(theirs.Parameters[0].Estimate.Lower);
        Agree(ours.Parameters[1].Estimate, theirs.Parameters[1].Estimate, "scale");
        Agree(ours.Reliability(600), theirs.Reliability(600), "reliability");
    }

    [Fact]
    public void Without_a_covariance_there_are_values_and_a_note_instead_of_bounds()
    {
        var model = Asked.Model("weibull");
        var fit = DeltaMethod.Fitted(model.Description, model.Family!, new FamilyEstimate([2, 1000]), Sample, Normal);

        var b10 = fit.PercentileLife(0.1);
        Assert.Equal(1000 * Math.Sqrt(-Math.Log(0.9)), b10.Value!.Value, 1e-9);
        Assert.Null(b10.Lower);
        Assert.Null(b10.StandardError);
        Assert.Contains(b10.Notes, n => n.Code == WarningCodes.NoBounds);
        Assert.Null(fit.LogLikelihood);
    }

    [Theory]
    [InlineData(new[] { 2.0 }, new double[0], null)]
    [InlineData(new[] { -2.0, 1000 }, new double[0], null)]
    [InlineData(new[] { 2.0, 1000 }, new[] { 0.0, 5, 5, 1 }, null)]
    [InlineData(new[] { 2.0, double.NaN }, new double[0], null)]
    [InlineData(new[] { 2.0, 1000 }, new[] { 0.1 }, null)]
    [InlineData(new[] { 2.0, 1000 }, new[] { 0.1, 3, 4, 1e4 }, null)]
    [InlineData(new[] { 2.0, 1000 }, new[] { 0.1, 40, 40, 1e4 }, null)]
    [InlineData(new[] { 2.0, 1000 }, new[] { -0.1, 0, 0, 1e4 }, null)]
    [InlineData(new[] { 2.0, 1000 }, new[] { double.NaN, 0, 0, 1e4 }, null)]
    [InlineData(new[] { 2.0, 1000 }, new double[0], double.NaN)]
    public void What_is_no_estimate_is_refused(double[] parameters, double[] covariance, double? logLikelihood)
    {
        var model = Asked.Model("weibull");
        var estimate = new FamilyEstimate(parameters) { Covariance = covariance, LogLikelihood = logLikelihood };
        Assert.Throws<ArgumentException>(() => DeltaMethod.Fitted(model.Description, model.Family!, estimate, Sample, Normal));
    }

    [Fact]
    public void Normal_quantiles_are_those_of_another_library()
    {
        foreach (var level in (double[])[1e-6, 0.1, 0.5, 0.84, 0.86, 0.9, 0.95, 0.99, 0.9999, 1 - 1e-9, 1 - 1e-13])
            Assert.Equal(1, NormalQuantile.TwoSided(level) / -MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, (1 - level) / 2), 1e-9);

        // qnorm of R 4: qnorm(0.975), qnorm(0.995), qnorm(0.7).
        Assert.Equal(1.959963984540054, NormalQuantile.TwoSided(0.95), 1e-15);
        Assert.Equal(2.575829303548901, NormalQuantile.TwoSided(0.99), 4e-15);
        Assert.Equal(0.5244005127080407, NormalQuantile.TwoSided(0.4), 1e-15);
    }

    private static FamilyEstimate Estimate(IFittedLife fit) =>
        new([.. fit.Parameters.Select(p => p.Estimate.Value!.Value)]) { Covariance = fit.Covariance, LogLikelihood = fit.LogLikelihood };

    private static void Agree(BoundedEstimate one, BoundedEstimate other, string what)
    {
        Close(one.Value, other.Value, 1e-9, what);
        Close(one.Lower, other.Lower, 1e-6, what);
        Close(one.Upper, other.Upper, 1e-6, what);
        Close(one.StandardError, other.StandardError, 1e-6, what);
        Assert.Equal(one.Side, other.Side);
        Assert.Equal(one.Notes.Select(n => n.Code), other.Notes.Select(n => n.Code));
    }

    private static void Close(double? one, double? other, double tolerance, string what) =>
        Assert.True(
            one is null ? other is null : Math.Abs(one.Value - other!.Value) <= tolerance * Math.Abs(one.Value), $"{what}: {one} against {other}");
}
