using Reliability.Engine.Abstractions;
using Reliability.Engine.Conformance;
using Xunit;

namespace Reliability.Engine.Remote.Tests.Examples;

/// <summary>The example in C#, as docs have it. Expected values: R 4.2, lm() of the logarithms of the ages on log(-log(1 - F)); the
/// jackknife is the same without each life, and bounds are value times exp(+-z * standard error of the logarithm).</summary>
public sealed class RankRegressionTests : IDisposable
{
    private static readonly FitOptions Options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };

    private readonly Hosted _hosted = new Hosted(new RemotePlugInSettings
    {
        Id = "example-rank-regression",
        Command = "dotnet",
        Arguments = [Path.Combine(AppContext.BaseDirectory, "RankRegression.dll")],
    }).Up();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public void Dispose() => _hosted.Dispose();

    [Fact]
    public void It_estimates_as_R_does_with_bounds_by_the_jackknife()
    {
        // NIST/SEMATECH e-Handbook 8.4.1.3: ten failures, ten that survived 500 h.
        var twenty = new LifeSampleBuilder();
        foreach (var hours in new double[] { 54, 187, 216, 240, 244, 335, 361, 373, 375, 386 })
            twenty.AddFailed(hours);
        twenty.AddSurvived(500, count: 10);
        var fit = _hosted.Estimator.Fit(twenty.Build(), Options, Token).Value;
        Assert.Equal(1.62596276716707, fit.Parameters[0].Estimate.Value!.Value, 1e-12);
        Assert.Equal(601.95989030089515, fit.Parameters[1].Estimate.Value!.Value, 1e-9);
        double[] covariance = [2.95978554083912, -285.250675966499, -285.250675966499, 48129.441512080921];
        Assert.Equal(covariance, fit.Covariance, (a, b) => Math.Abs(a - b) < 1e-9 * Math.Abs(a));
        Assert.Equal(1 - Math.Exp(-1), 1 - fit.Reliability(601.95989030089515, Token).Value!.Value, 1e-12);

        // scale * Gamma(1 + 1 / shape), by R's gamma().
        Assert.Equal(538.931648603982, fit.Mean(Token).Value!.Value, 1e-6);

        // Survivors among the failures: Johnson's ranks.
        var mixed = new LifeSampleBuilder().AddFailed(100).AddSurvived(150).AddFailed(200).AddFailed(260).AddSurvived(300).AddFailed(420)
            .AddSurvived(500).AddFailed(610).Build();
        var other = _hosted.Estimator.Fit(mixed, Options, Token).Value;
        Assert.Equal(1.56728856504333, other.Parameters[0].Estimate.Value!.Value, 1e-12);
        Assert.Equal(474.64158017705199, other.Parameters[1].Estimate.Value!.Value, 1e-9);
        Assert.Equal(0.771631729418356, other.Parameters[0].Estimate.Lower!.Value, 1e-9);
        Assert.Equal(3.183375375150987, other.Parameters[0].Estimate.Upper!.Value, 1e-9);
        var tenth = other.PercentileLife(0.1, Token);
        Assert.Equal(112.9251531717971, tenth.Value!.Value, 1e-9);
        Assert.Equal(36.6545841277464, tenth.Lower!.Value, 1e-4);
        Assert.Equal(347.8989196666637, tenth.Upper!.Value, 1e-3);

        // Without one of two failures there is nothing to fit, and no covariance.
        var two = _hosted.Estimator.Fit(new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddSurvived(300).Build(), Options, Token).Value;
        Assert.Equal("NO_BOUNDS", Assert.Single(two.Warnings).Code);
        Assert.Null(two.PercentileLife(0.1, Token).Lower);

        // What it claims is all that it gives.
        Assert.Equal([BoundsMethod.NormalApproximation], _hosted.Estimator.Description.Capabilities.BoundsMethods);

        var between = new LifeSampleBuilder().AddBetween(1, 2).AddFailed(3).Build();
        Assert.Equal("ROW_NOT_TAKEN", _hosted.Estimator.Fit(between, Options, Token).NotEstimable!.Reason);
    }

    /// <summary>By the command of docs/plug-ins.md; of the rules for its family those that the estimator has too.</summary>
    [Fact]
    public void It_keeps_the_rules_of_the_contract()
    {
        string[] rules = [.. ConformanceRules.ForLifeModels.Select(rule => rule.Name).Except(["recovery", "scale", "axes"])];
        var (exitCode, output, error) = Checked.Run(
            [
                "--command", "dotnet", "--argument", Path.Combine(AppContext.BaseDirectory, "RankRegression.dll"), "--id", "example-rank-regression",
                "--member", "example-weibull=1.7,600", "--member", "example-weibull=3,2e4", "--lives", "100", .. rules.SelectMany(rule => new[] { "--rule", rule }),
            ]);
        Assert.True(exitCode == 0, output + error);
        Assert.Matches(@"\n  Kept +cancelled-at-work +stopped at work on \d+ lives, and answered afterwards by the same process", output);
        Assert.Matches(@"\n  Kept +bounds-hold-truth +4 estimates", output);
    }
}
