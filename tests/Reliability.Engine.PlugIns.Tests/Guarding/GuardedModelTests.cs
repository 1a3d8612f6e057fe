using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Tests.Guarding;

/// <summary>An estimator that breaks its contract costs its caller a reason, whatever it does.</summary>
public sealed class GuardedModelTests
{
    private static readonly LifeSample Sample = new LifeSampleBuilder().AddFailed(100).AddFailed(700).Build();

    private static readonly FitOptions Options = new() { BoundsMethod = BoundsMethod.NormalApproximation };

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public static TheoryData<string, Func<LifeSample, FitOptions, CancellationToken, Estimable<IFittedLife>>> SpoiltFits()
    {
        Func<LifeSample, FitOptions, CancellationToken, Estimable<IFittedLife>> With(Func<IFittedLife, OddFit> spoil) =>
            (sample, options, _) => Estimable<IFittedLife>.Of(spoil(OddModel.Right(sample, options)));
        static BoundedEstimate Only(double value) => new() { Value = value };
        return new()
        {
            { "fit broke off", (_, _, _) => throw new InvalidOperationException("secret") },
            { "fit broke off", (_, _, _) => throw new OperationCanceledException("secret") },
            { "fit broke off", (_, _, _) => throw new AggregateException(new InvalidOperationException("secret")) },
            { "ran too long", (_, _, _) => throw new AggregateException(new LifeModelFailedException("odd-estimator", "it ran too long")) },
            { "fit answered nothing", (_, _, _) => null! },
            { "no fit and no reason", (_, _, _) => new NotEstimable("", "") },
            { "parameters mean", With(f => new OddFit(f) { Parameters = [] }) },
            { "parameters mean", With(f => new OddFit(f) { Parameters = [new("other", Only(1), false)] }) },
            { "parameter mean is NaN", With(f => new OddFit(f) { Parameters = [new("mean", Only(double.NaN), false)] }) },
            { "mean is -5, outside of its domain", With(f => new OddFit(f) { Parameters = [new("mean", Only(-5), false)] }) },
            { "covariance has 2 numbers", With(f => new OddFit(f) { Covariance = [1, 2] }) },
            { "covariance is NaN", With(f => new OddFit(f) { Covariance = [double.NaN] }) },
            { "log-likelihood is Infinity", With(f => new OddFit(f) { LogLikelihood = double.PositiveInfinity }) },
            { "confidence level is 95", With(f => new OddFit(f) { ConfidenceLevel = 95 }) },
            { "confidence level is 0.9 where 0.95 was asked", With(f => new OddFit(f) { ConfidenceLevel = 0.9 }) },
            { "bounds of the parameter mean do not hold its value: 500, 400, 600", With(f => new OddFit(f) { Parameters = [new("mean", new() { Value = 400, Lower = 500, Upper = 600 }, false)] }) },
            { "percentile lives go back", With(f => new OddFit(f) { SpoilFraction = p => 1 - p }) },
        };
    }

    [Theory]
    [MemberData(nameof(SpoiltFits))]
    public void A_fit_fails_with_what_the_estimator_did(string reason, Func<LifeSample, FitOptions, CancellationToken, Estimable<IFittedLife>> fit)
    {
        var failure = Assert.Throws<LifeModelFailedException>(() => Taken(fit).Fit(Sample, Options, Token));
        Assert.Equal("odd-estimator", failure.ModelId);
        Assert.Contains(reason, failure.Reason, StringComparison.Ordinal);
        Assert.DoesNotContain("secret", failure.Reason, StringComparison.Ordinal);
    }

    public static TheoryData<string, Func<BoundedEstimate, BoundedEstimate>> SpoiltAnswers() => new()
    {
        { "answered nothing", _ => null! },
        { "is NaN", e => e with { Value = double.NaN } },
        { "is Infinity", e => e with { Upper = double.PositiveInfinity } },
        { "is -", e => e with { Lower = -1 } },
        { "lies above the upper one", e => e with { Lower = e.Upper, Upper = e.Lower } },
        { "do not hold its value", e => e with { Value = e.Value * (1 + 1e-6), Upper = e.Value } },
        { "do not hold its value", e => e with { Value = e.Value * (1 - 1e-6), Lower = e.Value, Upper = null } },
        { "standard error", e => e with { StandardError = -1 } },
        { "broke off", _ => throw new ArgumentOutOfRangeException(nameof(SpoiltAnswers), "secret") },
    };

    [Theory]
    [MemberData(nameof(SpoiltAnswers))]
    public void Each_question_fails_alone(string reason, Func<BoundedEstimate, BoundedEstimate> spoil)
    {
        var model = Taken((sample, options, _) => Estimable<IFittedLife>.Of(new OddFit(OddModel.Right(sample, options)) { Spoil = spoil }));
        Assert.True(model.Fit(Sample, Options, Token).TryGet(out var fit, out _));
        Assert.Equal(400 * Math.Log(2), fit.PercentileLife(0.5, Token).Value!.Value, 1e-9);
        foreach (var ask in (Func<BoundedEstimate>[])
            [() => fit.Mean(Token), () => fit.Reliability(10, Token), () => fit.ConditionalReliability(10, 10, Token), () => fit.RemainingLife(10, 0.5, Token), () => fit.MeanRemainingLife(10, Token)])
        {
            Assert.Contains(reason, Assert.Throws<LifeModelFailedException>(ask).Reason, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_probability_above_1_fails_and_hours_above_1_do_not()
    {
        var model = Taken((sample, options, _) => Estimable<IFittedLife>.Of(
            new OddFit(OddModel.Right(sample, options)) { Spoil = e => e with { Value = 1.5, Lower = null, Upper = null } }));
        Assert.True(model.Fit(Sample, Options, Token).TryGet(out var fit, out _));
        Assert.Equal(1.5, fit.Mean(Token).Value);
        Assert.Throws<LifeModelFailedException>(() => fit.Reliability(10, Token));
        Assert.Throws<ArgumentOutOfRangeException>(() => fit.Reliability(-1, Token));
        Assert.Throws<ArgumentOutOfRangeException>(() => fit.PercentileLife(1, Token));
        Assert.Throws<ArgumentOutOfRangeException>(() => fit.Curve([0], Token));
    }

    [Fact]
    public void A_curve_with_too_few_points_or_positions_that_are_no_numbers_fails()
    {
        foreach (var spoil in (Func<IReadOnlyList<PlotPoint>, IReadOnlyList<PlotPoint>>[])
            [_ => [], points => [points[0] with { AxisFraction = double.NaN }], points => [null!], points => [points[0] with { FailedFraction = new() { Value = 2 } }]])
        {
            var model = Taken((sample, options, _) => Estimable<IFittedLife>.Of(new OddFit(OddModel.Right(sample, options)) { SpoilCurve = spoil }));
            Assert.True(model.Fit(Sample, Options, Token).TryGet(out var fit, out _));
            Assert.Throws<LifeModelFailedException>(() => fit.Curve([100], Token));
        }
    }

    [Fact]
    public void Cancellation_reasons_and_refusals_pass_through()
    {
        using var cancelled = new CancellationTokenSource();
        var waiting = Taken((_, _, token) =>
        {
            cancelled.Cancel();
            token.ThrowIfCancellationRequested();
            return null!;
        });
        Assert.ThrowsAny<OperationCanceledException>(() => waiting.Fit(Sample, Options, cancelled.Token));
        Assert.False(Taken((_, _, _) => new NotEstimable("TOO_FEW", "There are too few lives.")).Fit(Sample, Options, Token).TryGet(out _, out var reason));
        Assert.Equal("TOO_FEW", reason.Reason);
        Assert.Throws<UnsupportedRequestException>(
            () => Taken((_, _, _) => throw new UnsupportedRequestException("termination", "Not this.")).Fit(Sample, Options, Token));
    }

    [Fact]
    public void It_is_asked_only_for_what_it_says_it_can_do()
    {
        var asked = false;
        var model = Taken((sample, options, _) =>
        {
            asked = true;
            return Estimable<IFittedLife>.Of(OddModel.Right(sample, options));
        });
        Assert.Throws<UnsupportedRequestException>(() => model.Fit(Sample, FitOptions.Default, Token));
        Assert.Throws<UnsupportedRequestException>(
            () => model.Fit(Sample, Options with { FixedParameters = new Dictionary<string, double> { ["mean"] = 3 } }, Token));
        Assert.False(asked);
        Assert.True(model.Fit(Sample, Options, Token).TryGet(out var fit, out _));
        Assert.Equal("odd-plug-in", fit.Model.PlugIn!.Id);
        Assert.False(model.Description.Capabilities.ComparesCohorts);
    }

    private static ILifeModel Taken(Func<LifeSample, FitOptions, CancellationToken, Estimable<IFittedLife>> fit) =>
        PlugInOf.Taken(new([], new OddModel(fit)));
}
