using Reliability.Engine.Abstractions;
using Reliability.Engine.Kernels;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Tests.Kernels;

/// <summary>Lanes against the scalar functions, blocks against plain sums, and threads against one thread.</summary>
[Collection(nameof(KernelTests))]
[CollectionDefinition(nameof(KernelTests), DisableParallelization = true)]
public sealed class KernelTests
{
    [Fact]
    public void Scaled_erfc_in_lanes_is_that_of_Cody()
    {
        for (var i = 0; i < 20_000; i++)
        {
            var x = i < 10_000 ? i * 0.003 : Math.Pow(10, (i - 15_000) / 700.0);
            Assert.Equal(1, First(LaneFunctions.ScaledErfc(Lanes128.All(x))) / ScaledErfc.At(x), 4e-15);
        }
    }

    /// <summary>Against the scalar logarithm of the C library, over all doubles above 0, where they are dense, near 1 and at the ends.</summary>
    [Fact]
    public void The_logarithm_in_lanes_is_the_scalar_one()
    {
        var random = new Random(4);
        for (var i = 0; i < 200_000; i++)
        {
            var x = (i % 4) switch
            {
                0 => BitConverter.Int64BitsToDouble(random.NextInt64(1, 0x7FF0000000000000)),
                1 => 1 + (random.NextDouble() - 0.5) * Math.Pow(10, -random.Next(16)),
                2 => random.NextDouble(),
                _ => Math.Pow(2, random.Next(-1070, 1020)) * (1 + random.NextDouble()),
            };
            Assert.True(Ulps(Math.Log(x), First(LaneFunctions.Log(Lanes128.All(x)))) <= 1, $"{x:R}");
            if (System.Runtime.Intrinsics.Vector256.IsHardwareAccelerated)
                Assert.True(Ulps(Math.Log(x), First(LaneFunctions.Log(Lanes256.All(x)))) <= 1, $"{x:R}");
        }

        foreach (var x in (double[])[0, 1, double.Epsilon, 2.2250738585072014e-308, double.MaxValue, double.PositiveInfinity, -1, double.NaN])
            Assert.Equal(Math.Log(x), First(LaneFunctions.Log(Lanes128.All(x))));
    }

    [Theory]
    [InlineData("normal")]
    [InlineData("logistic")]
    [InlineData("extreme")]
    public void Lanes_are_the_scalar_functions(string name)
    {
        switch (name)
        {
            case "normal": Compare<StandardNormal>(); break;
            case "logistic": Compare<StandardLogistic>(); break;
            default: Compare<SmallestExtremeValue>(); break;
        }
    }

    /// <summary>
    /// Ages in turn from so many tight clusters: few rows at a stride with which the turn has a factor in common are all of one cluster, whose
    /// own spread says nothing. The same lives cluster by cluster are fitted from rows of each.
    /// </summary>
    [Theory]
    [InlineData(41_000, 40, false)]
    [InlineData(41_000, 41, false)]
    [InlineData(20_500, 10, true)]
    [InlineData(20_500, 22, true)]
    public void Lives_in_clusters_that_take_turns_have_the_fit_of_any_order(int rows, int clusters, bool mixed)
    {
        var turns = Clusters(Enumerable.Range(0, rows), clusters, mixed);
        var sorted = Clusters(Enumerable.Range(0, rows).OrderBy(i => i % clusters), clusters, mixed);

        var one = Maximiser.Maximise(LogTimeLikelihood.Create<SmallestExtremeValue>(turns), default).Value;
        var other = Maximiser.Maximise(LogTimeLikelihood.Create<SmallestExtremeValue>(sorted), default).Value;

        Assert.Equal(1, one.U / other.U, 1e-9);
        Assert.Equal(other.V, one.V, 1e-9);
    }

    private static LifeSample Clusters(IEnumerable<int> order, int clusters, bool mixed)
    {
        var builder = new LifeSampleBuilder();
        foreach (var i in order)
        {
            var hours = 1000 * Math.Pow(-Math.Log(1 - (i % clusters + 0.5) / clusters), 0.5) * (1 + 1e-7 * (i / clusters % 100));
            _ = mixed && i % 7 == 0 ? builder.AddBetween(hours, hours * 1.1)
                : i % 3 == 0 ? builder.AddSurvived(hours)
                : builder.AddFailed(hours, mixed && i % 5 == 0 ? hours / 2 : 0);
        }

        return builder.Build();
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Threads_change_no_digit(bool mixed)
    {
        var sample = Sample(150_000, 7, mixed);
        try
        {
            var answers = new List<(double, double, double)>();
            foreach (var threads in (int?[])[1, 2, 3, null])
            {
                Segments.Threads = threads;
                var maximum = Maximiser.Maximise(LogTimeLikelihood.Create<SmallestExtremeValue>(sample), default).Value;
                answers.Add((maximum.U, maximum.V, maximum.Value));
            }

            Assert.Single(answers.Distinct());
        }
        finally
        {
            Segments.Threads = null;
        }
    }

    [Theory]
    [InlineData(50)]
    [InlineData(1_000)]
    [InlineData(30_000)]
    [InlineData(150_000)]
    public void The_sums_of_powers_find_the_maximum_of_the_likelihood(int lives)
    {
        for (var seed = 1; seed <= 5; seed++)
            AssertMaximum(Sample(lives, seed, mixed: false));
    }

    /// <summary>
    /// A young fleet of which few are old: shape (S_1/S_0 - mean) - 1 falls with the shape before it rises to 0, and steps by its slope alone
    /// lead away.
    /// </summary>
    [Fact]
    public void The_sums_of_powers_find_the_maximum_of_a_young_fleet()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 10_000; i++)
            builder.AddSurvived(220 * (1 + 1e-6 * i));
        for (var i = 0; i < 20; i++)
            builder.AddFailed(500 + 15 * i);
        builder.AddSurvived(1000);

        AssertMaximum(builder.Build());
    }

    private static void AssertMaximum(LifeSample sample)
    {
        var maximum = RightCensoredWeibull.Maximise(sample, default);
        Assert.NotNull(maximum);
        var point = LogTimeLikelihood.Create<SmallestExtremeValue>(sample).Evaluate(maximum.U, maximum.V, default);
        Assert.Equal(1, point.Value / maximum.Value, 1e-12);
        var determinant = point.HessianUU * point.HessianVV - point.HessianUV * point.HessianUV;
        Assert.Equal(1, -point.HessianVV / determinant / maximum.CovarianceUU, 1e-7);

        // Both derivatives are 0 to rounding: in standard errors.
        Assert.True(Math.Abs(point.GradientU) * Math.Sqrt(maximum.CovarianceUU) < 1e-8);
        Assert.True(Math.Abs(point.GradientV) * Math.Sqrt(maximum.CovarianceVV) < 1e-8);
    }

    [Fact]
    public void Blocks_add_up_to_the_rows_one_by_one()
    {
        var sample = Sample(10_000, 3, mixed: true);
        Agrees<SmallestExtremeValue>(sample);
        Agrees<StandardNormal>(sample);
        Agrees<StandardLogistic>(sample);
    }

    /// <summary>The last step of a large sample is taken unseen: what was foretold of it is so.</summary>
    [Fact]
    public void The_step_that_is_not_looked_at_ends_at_the_maximum()
    {
        for (var seed = 1; seed <= 3; seed++)
        {
            Ends<SmallestExtremeValue>(Sample(60_000, seed, mixed: true));
            Ends<StandardNormal>(Sample(60_000, seed, mixed: true));
            Ends<StandardLogistic>(Sample(60_000, seed, mixed: false));
        }

        static void Ends<T>(LifeSample sample)
            where T : struct, IStandardDistribution
        {
            var likelihood = LogTimeLikelihood.Create<T>(sample);
            var maximum = Maximiser.Maximise(likelihood, default).Value;
            var point = likelihood.Evaluate(maximum.U, maximum.V, default);
            var determinant = point.HessianUU * point.HessianVV - point.HessianUV * point.HessianUV;
            Assert.Equal(1, point.Value / maximum.Value, 1e-13);
            Assert.True(Math.Abs(point.GradientU) * Math.Sqrt(maximum.CovarianceUU) < 1e-9);
            Assert.True(Math.Abs(point.GradientV) * Math.Sqrt(maximum.CovarianceVV) < 1e-9);
            Assert.Equal(1, -point.HessianVV / determinant / maximum.CovarianceUU, 2e-7);
            Assert.Equal(1, -point.HessianUU / determinant / maximum.CovarianceVV, 2e-7);
        }
    }

    [Fact]
    public void A_fit_of_a_large_sample_keeps_no_memory_as_long_as_the_sample()
    {
        var sample = Sample(200_000, 5, mixed: true);
        var likelihood = LogTimeLikelihood.Create<StandardNormal>(sample);
        Maximiser.Maximise(likelihood, default);
        var before = GC.GetTotalAllocatedBytes(true);
        Maximiser.Maximise(LogTimeLikelihood.Create<StandardNormal>(sample), default);
        Assert.InRange(GC.GetTotalAllocatedBytes(true) - before, 0, 1_500_000);
    }

    /// <summary>Weibull lives of shape 1.7 and scale 1000, each with an own end; mixed: intervals and late entry among them.</summary>
    private static LifeSample Sample(int lives, int seed, bool mixed)
    {
        var random = new Random(seed);
        var builder = new LifeSampleBuilder(lives);
        while (builder.RowCount < lives)
        {
            var failure = 1_000 * Math.Pow(-Math.Log(1 - random.NextDouble()), 1 / 1.7);
            var end = 1_500 * (0.01 + random.NextDouble());
            var entry = mixed && random.Next(5) == 0 ? 300 * random.NextDouble() : 0;
            if (Math.Min(failure, end) <= entry)
                continue;
            if (failure > end)
                builder.AddSurvived(end, entry);
            else if (mixed && random.Next(4) == 0)
                builder.AddBetween(Math.Max(entry, Math.Floor(failure / 100) * 100), (Math.Floor(failure / 100) * 100) + 100, entry);
            else
                builder.AddFailed(failure, entry);
        }

        return builder.Build();
    }

    /// <summary>The vector sums against the scalar functions, row by row.</summary>
    private static void Agrees<T>(LifeSample sample)
        where T : struct, IStandardDistribution
    {
        T distribution = default;
        var likelihood = LogTimeLikelihood.Create<T>(sample);
        const double U = 1.6, V = 0.8;
        var point = likelihood.Evaluate(U, V, default);
        double sum = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            double Z(double hours) => U * Math.Log(hours / sample.OldestHours) + V;
            var z = Z(sample.LowerHours[i]);
            sum += sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => distribution.LogDensity(z, out _, out _) + Math.Log(U / sample.LowerHours[i]),
                LifeOutcome.Survived => distribution.LogSurvival(z),
                _ => distribution.LogInterval(z, Z(sample.UpperHours[i]), Z(sample.UpperHours[i]) - z),
            };
            if (sample.EntryHours[i] > 0)
                sum -= distribution.LogSurvival(Z(sample.EntryHours[i]));
        }

        Assert.Equal(1, point.Value / sum, 1e-12);
        const double H = 1e-4;
        LikelihoodPoint At(double du, double dv) => likelihood.Evaluate(U + du, V + dv, default);
        Close((At(H, 0).Value - At(-H, 0).Value) / (2 * H), point.GradientU);
        Close((At(0, H).Value - At(0, -H).Value) / (2 * H), point.GradientV);
        Close((At(H, 0).GradientU - At(-H, 0).GradientU) / (2 * H), point.HessianUU);
        Close((At(0, H).GradientU - At(0, -H).GradientU) / (2 * H), point.HessianUV);
        Close((At(0, H).GradientV - At(0, -H).GradientV) / (2 * H), point.HessianVV);

        static void Close(double difference, double derivative) => Assert.Equal(1, difference / derivative, 1e-5);
    }

    private static void Compare<T>()
        where T : struct, IStandardDistribution
    {
        T distribution = default;
        var highest = typeof(T) == typeof(SmallestExtremeValue) ? 6 : 30;
        for (double z = -35; z <= highest; z += 0.173)
        {
            var log = distribution.LogDensity(z, out var slope, out var curvature);
            distribution.LogDensity(Lanes128.All(z), out var logs, out var slopes, out var curvatures);
            Near(log, logs);
            Near(slope, slopes);
            Near(curvature, curvatures);
            log = distribution.LogSurvival(z, out slope, out curvature);
            distribution.LogSurvival(Lanes128.All(z), out logs, out slopes, out curvatures);
            Near(log, logs);
            Near(slope, slopes, 1e-12);
            Near(curvature, curvatures, 1e-10);
            foreach (var width in (double[])[2e-4, 0.01, 0.3, 2, double.PositiveInfinity])
            {
                var lower = z - width;
                var interval = distribution.LogInterval(lower, z, width);
                distribution.LogInterval(
                    Lanes128.All(lower), Lanes128.All(z), Lanes128.All(width), out logs, out var atLower, out _, out var atUpper, out _);
                if (interval < -300)
                    continue;
                Near(interval, logs, 2e-11);
                Near(Math.Exp(distribution.LogDensity(z, out _, out _) - interval), atUpper, 1e-9);
                if (double.IsFinite(lower))
                    Near(Math.Exp(distribution.LogDensity(lower, out _, out _) - interval), atLower, 1e-9);
            }
        }

        static void Near(double expected, Lanes128 actual, double tolerance = 1e-13) =>
            Assert.True(Math.Abs(First(actual) - expected) <= tolerance * (1 + Math.Abs(expected)), $"{expected} {First(actual)}");
    }

    private static double First(Lanes256 value)
    {
        Span<double> four = stackalloc double[4];
        Lanes256.Store(value, ref four[0], 0);
        return four[0];
    }

    /// <summary>How many doubles lie between two, one of them counted.</summary>
    private static long Ulps(double expected, double actual) =>
        Math.Abs(BitConverter.DoubleToInt64Bits(expected) - BitConverter.DoubleToInt64Bits(actual));

    private static double First(Lanes128 value)
    {
        Span<double> two = stackalloc double[2];
        Lanes128.Store(value, ref two[0], 0);
        return two[0];
    }
}
