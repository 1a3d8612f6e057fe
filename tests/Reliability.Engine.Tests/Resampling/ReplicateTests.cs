using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Kernels;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Resampling;

namespace Reliability.Engine.Tests.Resampling;

public sealed class ReplicateTests
{
    private const ulong Seed = 20261128;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public void Eight_streams_are_those_of_their_replicates()
    {
        var eight = new double[8 * 100];

        EightStreams.Fill(eight, Seed, 16);

        for (var k = 0; k < 8; k++)
        {
            var stream = new ReplicateStream(Seed, 16 + k);
            for (var i = 0; i < 100; i++)
                Assert.Equal(stream.Next(), eight[8 * i + k]);
        }
    }

    [Fact]
    public void Numbers_are_spread_evenly_and_streams_are_unrelated()
    {
        const int Count = 100_000;
        double sum = 0, squares = 0, product = 0, next = 0;
        for (var replicate = 0; replicate < Count; replicate++)
        {
            // The first number of each stream: what a poor hash of the seed would show.
            var number = new ReplicateStream(Seed, replicate).Next();
            var other = new ReplicateStream(Seed, replicate, 1).Next();
            Assert.InRange(number, double.Epsilon, 1 - 1e-16);
            sum += number;
            squares += number * number;
            product += (number - 0.5) * (other - 0.5);
            next += (number - 0.5) * (new ReplicateStream(Seed, replicate + 1).Next() - 0.5);
        }

        // Five standard errors.
        Assert.Equal(0.5, sum / Count, 5 * Math.Sqrt(1 / 12.0 / Count));
        Assert.Equal(1 / 3.0, squares / Count, 5 * Math.Sqrt(4 / 45.0 / Count));
        Assert.Equal(0, product / Count, 5 / 12.0 / Math.Sqrt(Count));
        Assert.Equal(0, next / Count, 5 / 12.0 / Math.Sqrt(Count));
    }

    [Theory]
    [InlineData("A")]
    [InlineData("B")]
    [InlineData("D")]
    [InlineData("E")]
    [InlineData("withdrawn")]
    public void Replicates_side_by_side_are_fits_of_the_samples_drawn_one_by_one(string set)
    {
        var (likelihood, plan, maximum) = Fitted<SmallestExtremeValue>(set);

        var eight = Resampler.Weibull(plan, (maximum.U, maximum.V), 500, Seed, Token);
        var each = Resampler.AnySample(likelihood, plan, (maximum.U, maximum.V), 500, Seed, Token);

        Assert.Equal(each.WithoutMaximum, eight.WithoutMaximum);
        for (var i = 0; i < 500; i++)
        {
            Assert.Equal(double.IsNaN(each.U[i]), double.IsNaN(eight.U[i]));
            if (double.IsNaN(each.U[i]))
                continue;

            // Rounding of hours near a tie is magnified by a great u.
            var tolerance = 1e-9 * Math.Max(1, each.U[i] / maximum.U);
            Assert.Equal(1, eight.U[i] / each.U[i], tolerance);
            Assert.Equal(each.V[i], eight.V[i], tolerance * (1 + Math.Abs(each.V[i])));
            Assert.Equal(1, eight.CovarianceUU[i] / each.CovarianceUU[i], 10 * tolerance);
            Assert.Equal(1, eight.CovarianceVV[i] / each.CovarianceVV[i], 10 * tolerance);
            Assert.Equal(
                each.CovarianceUV[i], eight.CovarianceUV[i], 10 * tolerance * Math.Sqrt(each.CovarianceUU[i] * each.CovarianceVV[i]));
        }
    }

    /// <summary>
    /// Shape estimate over shape for complete samples, 5 and 95 % points: simulated with base R alone (40,000 samples, seed 7, uniroot on
    /// the likelihood equation of log(-log(runif(n)))), within four standard errors of that simulation. The tables of Thoman, Bain and Antle,
    /// Technometrics 11 (1969) 445-460, also simulated, have 0.683 and 2.779, 0.738 and 1.807, 0.791 and 1.449 (from memory).
    /// </summary>
    [Theory]
    [InlineData(5, 0.6847687, 0.0023, 2.830397, 0.0176)]
    [InlineData(10, 0.7389715, 0.0017, 1.827689, 0.0067)]
    [InlineData(20, 0.7927994, 0.0013, 1.456474, 0.0033)]
    public void The_shape_of_complete_samples_is_distributed_as_R_simulates_it(int lives, double fifth, double fifthError, double ninetyFifth, double ninetyFifthError)
    {
        var builder = new LifeSampleBuilder();
        for (var i = 1; i <= lives; i++)
            builder.AddFailed(100 * i);
        var sample = builder.Build();
        var plan = ReplicatePlan.Of(
            sample, new LogTimeAxis(sample.OldestHours), PlanDetection.Of(sample, Termination.Unspecified))!;

        var ratios = Resampler.Weibull(plan, (2.5, 1), 200_000, Seed, Token).U.Select(u => u / 2.5).Order().ToArray();

        Assert.Equal(fifth, ratios[10_000], 4 * fifthError);
        Assert.Equal(ninetyFifth, ratios[190_000], 4 * ninetyFifthError);
    }

    [Theory]
    [InlineData("A")]
    [InlineData("late")]
    public void The_same_seed_gives_the_same_answer_on_any_number_of_threads(string set)
    {
        var (likelihood, plan, maximum) = Fitted<SmallestExtremeValue>(set);
        ReplicateFits Run(int? threads)
        {
            Resampler.Threads = threads;
            try
            {
                return Resampler.Fit(likelihood, plan, (maximum.U, maximum.V), 300, Seed, Token);
            }
            finally
            {
                Resampler.Threads = null;
            }
        }

        var one = Run(1);

        Assert.Equal(one.U, Run(3).U);
        Assert.Equal(one.V, Run(null).V);
        Assert.NotEqual(one.U, Resampler.Fit(likelihood, plan, (maximum.U, maximum.V), 300, Seed + 1, Token).U);
    }

    [Theory]
    [InlineData("E")]
    [InlineData("D")]
    public void Every_width_of_lanes_gives_the_same_fits(string set)
    {
        var (_, plan, maximum) = Fitted<SmallestExtremeValue>(set);
        ReplicateFits narrow = new(64), middle = new(64), wide = new(64);
        var block = new WeibullBlock(plan, maximum.U, maximum.V);
        for (var first = 0; first < 64; first += 8)
        {
            WeibullReplicates<Lanes128>.Fit(block, narrow, Seed, first);
            WeibullReplicates<Lanes256>.Fit(block, middle, Seed, first);
            WeibullReplicates<Lanes512>.Fit(block, wide, Seed, first);
        }

        for (var i = 0; i < 64; i++)
        {
            Assert.Equal(middle.U[i], narrow.U[i], 1e-12 * middle.U[i]);
            Assert.Equal(middle.U[i], wide.U[i], 1e-12 * middle.U[i]);
            Assert.Equal(middle.V[i], narrow.V[i], 1e-11);
            Assert.Equal(middle.V[i], wide.V[i], 1e-11);
        }
    }

    [Fact]
    public void Work_ends_when_it_is_cancelled()
    {
        var (likelihood, plan, maximum) = Fitted<SmallestExtremeValue>("late");
        using var stop = new CancellationTokenSource();
        stop.Cancel();

        Assert.ThrowsAny<OperationCanceledException>(
            () => Resampler.Fit(likelihood, plan, (maximum.U, maximum.V), 100_000, Seed, stop.Token));
        Assert.ThrowsAny<OperationCanceledException>(
            () => Resampler.Weibull(plan, (maximum.U, maximum.V), 100_000, Seed, stop.Token));
    }

    /// <summary>E of the design's golden values: ends drawn for failed lives have the weights of the reverse Kaplan-Meier estimate.</summary>
    [Fact]
    public void Ends_are_drawn_as_the_plan_of_calibrated_bounds_weighs_them()
    {
        var sample = Sets.Of("E");
        var axis = new LogTimeAxis(sample.OldestHours);
        var plan = ReplicatePlan.Of(sample, axis, PlanDetection.Of(sample, Termination.Unspecified))!;
        var weights = CensoringPlan.Of(sample, axis);
        const int Draws = 40_000;
        var counts = weights.Ends.ToDictionary(end => end, _ => 0.0);
        for (var k = 0; k < Draws; k++)
        {
            var stream = new ReplicateStream(Seed, k, 1);
            foreach (var life in plan.Lives)
                counts[double.IsNaN(life.End) ? plan.End(life, stream.Next()) : life.End]++;
        }

        for (var i = 0; i < weights.Ends.Length; i++)
            Assert.Equal(weights.Lives[0][i], counts[weights.Ends[i]] / Draws, 5 * Math.Sqrt(weights.Lives[0][i] / Draws));
    }

    internal static (LogTimeLikelihood Likelihood, ReplicatePlan Plan, Maximum Maximum) Fitted<T>(string set)
        where T : struct, IStandardDistribution
    {
        var sample = Sets.Of(set);
        var likelihood = LogTimeLikelihood.Create<T>(sample);
        Assert.True(Maximiser.Maximise(likelihood, Token).TryGet(out var maximum, out _));
        var stated = set == "withdrawn" ? Termination.FailureTerminated : Termination.Unspecified;
        var plan = ReplicatePlan.Of(sample, likelihood.Sample.Axis, PlanDetection.Of(sample, stated));
        Assert.NotNull(plan);
        return (likelihood, plan, maximum);
    }
}
