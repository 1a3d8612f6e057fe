using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Kernels;

/// <summary>Weibull lives of shape 2 and scale 1,000 h, seeded.</summary>
internal static class SimulatedSamples
{
    /// <summary>
    /// Each life stopped at an own age so that about 60 % survive; mixed: a fifth of the failures known between two inspections, a fifth
    /// of the lives watched from an age on.
    /// </summary>
    public static LifeSample Censored(int lives, int seed, bool mixed)
    {
        var random = new Random(seed);
        var builder = new LifeSampleBuilder(lives);
        while (builder.RowCount < lives)
        {
            var failure = Failure(random);
            var stop = 1_500 * (1e-3 + random.NextDouble());
            var entry = mixed && random.Next(5) == 0 ? 300 * random.NextDouble() : 0;
            if (Math.Min(failure, stop) <= entry)
                continue;
            var inspected = Math.Floor(failure / 100) * 100;
            if (failure > stop)
                builder.AddSurvived(stop, entry);
            else if (mixed && random.Next(5) == 0)
                builder.AddBetween(Math.Max(entry, inspected), inspected + 100, entry);
            else
                builder.AddFailed(failure, entry);
        }

        return builder.Build();
    }

    /// <summary>Each failure known between two of a life's own inspections, or not yet seen at the last.</summary>
    public static LifeSample Inspected(int lives, int seed)
    {
        var random = new Random(seed);
        var builder = new LifeSampleBuilder(lives);
        while (builder.RowCount < lives)
        {
            var failure = Failure(random);
            double before = 0, at = 0;
            for (var inspection = 0; inspection < 6 && at < failure; inspection++)
                (before, at) = (at, at + 400 * random.NextDouble());
            if (at < failure)
                builder.AddSurvived(at);
            else
                builder.AddBetween(before, at);
        }

        return builder.Build();
    }

    private static double Failure(Random random) => 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
}
