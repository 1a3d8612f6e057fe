using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Exact;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Engine.Tests.Resampling;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>
/// Exact bounds of complete and failure-terminated samples. Weibull: the rows "Bayes" of this project's design, computed by base R alone with
/// <c>integrate</c> over the shape in closed form over the scale (calibrated.R), with d = k = 0, where they are the conditional pivotal
/// ones (Lawless 2003, ch. 5). Lognormal, complete: Student's t, chi-square and the noncentral t, all by R's own functions.
/// </summary>
public sealed class PivotalBoundsTests
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public static TheoryData<string, string, double, double> Golden { get; } = new()
    {
        { "B", "shape", .772390306, 4.17811515 }, { "B", "scale", 46.8134160, 149.723183 }, { "B", "B10", 3.75542038, 56.9520648 },
        { "B", "mean", 44.8596721, 148.104092 }, { "B", "R50", .339400062, .936877437 },
        { "D", "shape", .421117775, 2.91739104 }, { "D", "scale", 48.2837189, 521.652353 }, { "D", "B10", 1.03572795, 38.9586518 },
        { "D", "mean", 45.5003637, 1218.93216 }, { "D", "R20", .621649709, .979087777 },
    };

    [Theory]
    [MemberData(nameof(Golden))]
    public void Weibull_bounds_are_those_of_the_golden_values(string set, string asked, double lower, double upper)
    {
        var (low, high, note) = Bounds<SmallestExtremeValue>(Sets.Of(set), Quantity(asked));

        Assert.Equal(lower, low, lower * 1e-6);
        Assert.Equal(upper, high, upper * 1e-6);
        Assert.Equal(asked == "mean" ? WarningCodes.BoundsNearlyExact : null, note?.Code);
    }

    /// <summary>
    /// With y = log hours of B (mean m, standard deviation s, n = 5), by R: mu is m -+ qt(.975, 4) s / sqrt(5), sigma is s sqrt(4 / qchisq),
    /// log B10 is m - s qt(c(.975, .025), 4, ncp = -qnorm(.1) sqrt(5)) / sqrt(5).
    /// </summary>
    [Theory]
    [InlineData("mu", 3.551442445, 4.790332454)]
    [InlineData("sigma", 0.2988973107, 1.433567925)]
    [InlineData("B10", 8.104503028, 53.35871325)]
    public void Lognormal_bounds_of_a_complete_sample_are_those_of_the_normal_distribution(string asked, double lower, double upper)
    {
        var (low, high, _) = Bounds<StandardNormal>(Sets.Of("B"), Quantity(asked));

        Assert.Equal(lower, low, Math.Abs(lower) * 1e-6);
        Assert.Equal(upper, high, Math.Abs(upper) * 1e-6);
    }

    [Theory]
    [InlineData("weibull", "D")]
    [InlineData("lognormal", "withdrawn")]
    [InlineData("loglogistic", "B")]
    public void Fits_offer_them_nest_them_and_hold_the_estimate(string model, string set)
    {
        var options = new FitOptions { BoundsMethod = BoundsMethod.Exact, Termination = Termination.FailureTerminated };
        var wide = Asked.Model(model).Fit(Sets.Of(set), options, Token).Value;
        var narrow = Asked.Model(model).Fit(Sets.Of(set), options with { ConfidenceLevel = 0.8 }, Token).Value;

        Assert.Equal(BoundsMethod.Exact, wide.BoundsMethod);
        Assert.Equal(Termination.FailureTerminated, wide.Plan?.Termination);
        foreach (var ask in (Func<IFittedLife, BoundedEstimate>[])
            [life => life.PercentileLife(0.1), life => life.Reliability(30), life => life.Parameters[0].Estimate, life => life.Parameters[1].Estimate])
        {
            var (outer, inner) = (ask(wide), ask(narrow));
            Assert.True(outer.Lower < inner.Lower && inner.Lower < outer.Value && outer.Value < inner.Upper && inner.Upper < outer.Upper);
            Assert.Empty(outer.Notes);
        }

        Assert.Contains(wide.RemainingLife(20, 0.5, Token).Notes, note => note.Code == WarningCodes.BoundsNearlyExact);
    }

    [Theory]
    [InlineData("A", Termination.Unspecified)]
    [InlineData("E", Termination.Unspecified)]
    [InlineData("E", Termination.FailureTerminated)]
    [InlineData("B", Termination.TimeTerminated)]
    [InlineData("late", Termination.FailureTerminated)]
    public void Lives_observed_otherwise_are_refused_with_the_reason(string set, Termination termination)
    {
        var fit = Asked.Model("weibull").Fit(Sets.Of(set), new() { BoundsMethod = BoundsMethod.Exact, Termination = termination }, Token);

        Assert.False(fit.TryGet(out _, out var reason));
        Assert.Equal(NotEstimableReasons.NoExactBounds, reason.Reason);
        Assert.Contains("termination", reason.Text, StringComparison.Ordinal);
        Assert.Contains("bounds_method", reason.Text, StringComparison.Ordinal);
    }

    private static (double Low, double High, EngineWarning? Note) Bounds<T>(LifeSample sample, LifeQuantity quantity)
        where T : struct, IStandardDistribution
    {
        var likelihood = LogTimeLikelihood.Create<T>(sample);
        Assert.True(Maximiser.Maximise(likelihood, Token).TryGet(out var maximum, out _));
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var distribution = PivotalDistribution.Of(likelihood, maximum, Token);
        Assert.NotNull(distribution);
        var found = new PivotalBounds(distribution, space, 0.95).Of(quantity, Token);
        double[] natural = [quantity.Natural(found.Lower!.Value), quantity.Natural(found.Upper!.Value)];
        Array.Sort(natural);
        return (natural[0], natural[1], found.Note);
    }

    private static LifeQuantity Quantity(string asked) => asked switch
    {
        "shape" => LifeQuantities.Shape,
        "sigma" => LifeQuantities.Sigma,
        "mu" => LifeQuantities.Location,
        "scale" => LifeQuantities.Scale,
        "B10" => LifeQuantities.Percentile(0.1),
        "mean" => LifeQuantities.Mean,
        _ => LifeQuantities.Reliability(double.Parse(asked[1..], System.Globalization.CultureInfo.InvariantCulture)),
    };
}
