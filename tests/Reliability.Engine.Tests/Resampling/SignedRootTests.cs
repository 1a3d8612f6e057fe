using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;
using Reliability.Engine.Resampling;

namespace Reliability.Engine.Tests.Resampling;

/// <summary>
/// r* and the signed root simulated at the constrained fit share nothing but the likelihood: one is a formula, the other counts. They agree
/// within the error of counting and terms of the order of 1/failures: r* is for samples with the same ancillary, simulation over all
/// (Lee and Young 2005; DiCiccio, Martin and Stern 2001).
/// </summary>
public sealed class SignedRootTests
{
    private const ulong Seed = 20261128;
    private const int Replicates = 3999;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public static TheoryData<string, string, string> Cases { get; } = new()
    {
        { "weibull", "A", "shape" }, { "weibull", "A", "B10" }, { "weibull", "A", "R200" }, { "weibull", "A", "mean" },
        { "weibull", "B", "shape" }, { "weibull", "B", "scale" }, { "weibull", "B", "B10" }, { "weibull", "B", "mean" },
        { "weibull", "D", "shape" }, { "weibull", "D", "B10" }, { "weibull", "D", "R20" },
        { "weibull", "E", "shape" }, { "weibull", "E", "scale" }, { "weibull", "E", "B10" }, { "weibull", "E", "R200" },
        { "weibull", "late", "shape" }, { "weibull", "late", "B10" }, { "weibull", "late", "R200" },
        { "weibull", "inspected", "shape" }, { "weibull", "inspected", "B10" },
        { "lognormal", "A", "B10" }, { "lognormal", "D", "shape" }, { "loglogistic", "A", "B10" }, { "loglogistic", "E", "R200" },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Simulated_roots_put_r_star_bounds_where_they_are(string model, string set, string asked)
    {
        switch (model)
        {
            case "weibull":
                Compare<SmallestExtremeValue>(set, asked);
                break;
            case "lognormal":
                Compare<StandardNormal>(set, asked);
                break;
            default:
                Compare<StandardLogistic>(set, asked);
                break;
        }
    }

    [Fact]
    public void A_bound_by_simulation_lies_where_the_share_is_met()
    {
        var (likelihood, plan, maximum) = ReplicateTests.Fitted<SmallestExtremeValue>("E");
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var bootstrap = new SignedRootBootstrap(likelihood, space, plan, 999, Seed);
        var quantity = LifeQuantities.Percentile(0.1);
        var star = Bounds(Sets.Of("E"), likelihood, space, quantity);
        foreach (var side in (ReadOnlySpan<int>)[-1, 1])
        {
            var found = bootstrap.Bound(quantity, side, 0.025, Token);
            Assert.NotNull(found);
            var (bound, roots) = found.Value;
            var root = new SignedRoot(likelihood, space, quantity);
            var share = roots.Share(root.At(bound, Token)!.Value, side);
            Assert.Equal(0.025, share, 0.002);

            // A quarter of a standard error: some four times the error of counting.
            Assert.Equal(side < 0 ? star.Lower!.Value : star.Upper!.Value, bound, 0.25 * root.Error);
        }
    }

    [Fact]
    public void Where_r_star_gives_nothing_the_simulation_stands_in_and_says_so()
    {
        var (likelihood, _, maximum) = ReplicateTests.Fitted<SmallestExtremeValue>("A");
        var sample = Sets.Of("A");
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var observation = PlanDetection.Of(sample, Termination.Unspecified);
        var instead = new SignedRootInstead(
            likelihood, space, sample, observation, new FitOptions { ConfidenceLevel = 0.9 }, new Nothing());
        var quantity = LifeQuantities.Reliability(200);

        // On the transformed scale of a reliability the greatest value is its lower bound.
        var (upper, note) = instead.Bound(quantity, 1, Token);
        var again = instead.Bound(quantity, 1, Token);

        Assert.Equal(WarningCodes.BoundsByBootstrap, note?.Code);
        Assert.Contains("lower bound", note?.Text, StringComparison.Ordinal);
        Assert.Contains("1,999 samples, seed 1", note?.Text, StringComparison.Ordinal);
        Assert.Equal(upper, again.Bound);
        var beyond = Beyond(likelihood, space, sample, quantity, 0.9);
        Assert.Equal(beyond, upper!.Value, 0.2 * space.StandardError(quantity));
    }

    [Fact]
    public void A_sample_beyond_what_is_simulated_is_left_to_what_comes_next()
    {
        var builder = new LifeSampleBuilder().AddFailed(100, 0, 600).AddFailed(180, 0, 600).AddSurvived(200, 0, 50);
        var sample = builder.Build();
        var likelihood = LogTimeLikelihood.Create<SmallestExtremeValue>(sample);
        Assert.True(Maximiser.Maximise(likelihood, Token).TryGet(out var maximum, out _));
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var instead = new SignedRootInstead(
            likelihood, space, sample, PlanDetection.Of(sample, Termination.Unspecified), FitOptions.Default, new Nothing());

        Assert.Equal((null, Nothing.Note), instead.Bound(LifeQuantities.Shape, -1, Token));
    }

    [Fact]
    public void Roots_without_end_count_where_they_run_to_and_unknown_ones_against_the_bound()
    {
        double[] nine = [.. Enumerable.Range(1, 9).Select(i => (double)i)];
        var unknown = new SimulatedDepartures(nine, 10, 10);
        var upwards = new SimulatedDepartures([.. nine, double.PositiveInfinity], 0, 1);

        // Of 20 places 10 are unknown.
        Assert.Null(unknown.Limit(0.4, -1));
        Assert.Equal(8, unknown.Limit(0.6, -1));
        Assert.Equal(2, unknown.Limit(0.6, 1));
        Assert.Equal((1 + 10 + 2) / 20.0, unknown.Share(8, -1));
        Assert.Equal((1 + 10 + 2) / 20.0, unknown.Share(2, 1));
        Assert.Null(upwards.Limit(1 / 11.0, -1));
        Assert.Equal(1, upwards.Limit(1 / 11.0, 1)!.Value, 1e-9);
        Assert.Equal(3 / 11.0, upwards.Share(9, -1));
    }

    [Fact]
    public void Samples_without_a_maximum_run_to_where_their_lives_point()
    {
        var axis = new LogTimeAxis(100);
        var truth = new LogTimeLife(default(SmallestExtremeValue), axis, 2, 0.5);
        var none = RunawayEstimate.Of(new LifeSampleBuilder().AddSurvived(50).Build(), axis);
        var tied = RunawayEstimate.Of(new LifeSampleBuilder().AddFailed(50).AddSurvived(20).Build(), axis);
        double At(LifeQuantity quantity, double missing) => RunawayEstimate.Departure(quantity, truth, missing, quantity.Transformed(truth));

        Assert.Equal(RunawayEstimate.NothingFailed, none);
        Assert.Equal(Math.Log(0.5), tied, 1e-12);
        Assert.True(double.IsNaN(RunawayEstimate.Of(new LifeSampleBuilder().AddBetween(20, 50).Build(), axis)));

        // Nothing failed: lives without end, hazards of nothing, no word on the shape. All at one age: a shape without end.
        Assert.Equal(double.PositiveInfinity, At(LifeQuantities.Percentile(0.1), none));
        Assert.Equal(double.NegativeInfinity, At(LifeQuantities.Reliability(30), none));
        Assert.Equal(0, At(LifeQuantities.Shape, none));
        Assert.Equal(double.PositiveInfinity, At(LifeQuantities.Shape, tied));
        Assert.Equal(double.NegativeInfinity, At(LifeQuantities.Reliability(30), tied));
        Assert.Equal(double.PositiveInfinity, At(LifeQuantities.Percentile(0.1), tied));
        Assert.Equal(double.NegativeInfinity, At(LifeQuantities.Percentile(0.99), tied));
    }

    private static void Compare<T>(string set, string asked)
        where T : struct, IStandardDistribution
    {
        var (likelihood, plan, maximum) = ReplicateTests.Fitted<T>(set);
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var quantity = Quantity(asked);
        var bounds = Bounds(Sets.Of(set), likelihood, space, quantity);
        var root = new SignedRoot(likelihood, space, quantity);
        var bootstrap = new SignedRootBootstrap(likelihood, space, plan, Replicates, Seed);
        foreach (var (bound, side) in new[] { (bounds.Lower, -1), (bounds.Upper, 1) })
        {
            var constrained = root.Constrained(bound!.Value, Token)!.Value;
            var share = bootstrap.Simulate(quantity, root, bound.Value, Token)!.Share(root.Of(bound.Value, constrained), side);

            // Three standard errors of counting, and 1/failures of a normal quantile at 0.025 (whose density is 0.0584).
            var tolerance = 3 * Math.Sqrt(0.025 * 0.975 / Replicates) + 0.0584 / likelihood.Sample.Lives.FailureCount;
            Assert.Equal(0.025, share, tolerance);
        }
    }

    private static FoundBounds Bounds(LifeSample sample, LogTimeLikelihood likelihood, ParameterSpace space, LifeQuantity quantity)
    {
        var plan = PlanDetection.Of(sample, Termination.Unspecified);
        return new CalibratedBounds(likelihood, space, BoundsChoice.Outcomes(likelihood, space.Maximum, sample, plan), 0.95)
            .Of(quantity, Token);
    }

    private static double Beyond(LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, LifeQuantity quantity, double level)
    {
        var plan = PlanDetection.Of(sample, Termination.Unspecified);
        return new CalibratedBounds(likelihood, space, BoundsChoice.Outcomes(likelihood, space.Maximum, sample, plan), level)
            .Of(quantity, Token).Upper!.Value;
    }

    private static LifeQuantity Quantity(string asked) => asked switch
    {
        "shape" => LifeQuantities.Shape,
        "scale" => LifeQuantities.Scale,
        "B10" => LifeQuantities.Percentile(0.1),
        "mean" => LifeQuantities.Mean,
        _ => LifeQuantities.Reliability(double.Parse(asked[1..], System.Globalization.CultureInfo.InvariantCulture)),
    };

    private sealed class Nothing : IBoundInstead
    {
        public static readonly EngineWarning Note = new("NOTHING", "Nothing.");

        public (double? Bound, EngineWarning? Note) Bound(LifeQuantity quantity, int side, CancellationToken cancellationToken) => (null, Note);
    }
}
