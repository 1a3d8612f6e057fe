using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>How simulated lives are watched.</summary>
internal enum Watching
{
    /// <summary>Every life to its failure.</summary>
    Complete,

    /// <summary>Each to an age of its own, at which between a twentieth and half of lives still work.</summary>
    Censored,

    /// <summary>Looked at six ages only: a failure lies between two of them.</summary>
    Inspected,

    /// <summary>As censored, and half of the lives from an age on, at which up to half have failed already, unseen.</summary>
    LateEntry,
}

/// <summary>Seeded samples of lives of a known distribution. Ages come from log survival, so that a wrong quantile spoils nothing.</summary>
internal static class Simulation
{
    private static readonly double[] Inspections = [0.15, 0.3, 0.45, 0.6, 0.75, 0.9];

    /// <summary>A sample of so many lives.</summary>
    /// <param name="table">Of the distribution and its parameters.</param>
    /// <param name="lives">How many.</param>
    /// <param name="watching">How they are watched.</param>
    /// <param name="seed">The same seed, the same sample.</param>
    /// <param name="modeOf">Failure mode of a life by age at failure; null when modes are nothing.</param>
    public static LifeSample Draw(
        LifeTable table, int lives, Watching watching, int seed, Func<double, Random, string?>? modeOf = null)
    {
#pragma warning disable CA5394 // Simulation, not security.
        var random = new Random(seed);

        // Fractions failed at entry, failure and end: R is uniform, given survival to the entry.
        var (entry, failed, end) = (new double[lives], new double[lives], new double[lives]);
        for (var i = 0; i < lives; i++)
        {
            var late = random.NextDouble();
            entry[i] = watching == Watching.LateEntry && i % 2 == 0 ? late / 2 : 0;
            failed[i] = entry[i] + (1 - entry[i]) * (1 - random.NextDouble());
            end[i] = entry[i] + (1 - entry[i]) * (0.5 + 0.45 * random.NextDouble());
        }

        var entries = table.Ages(entry);
        var failures = table.Ages(failed);
        var ends = table.Ages(watching == Watching.Inspected ? Inspections : end);
        var builder = new LifeSampleBuilder(lives);
        for (var i = 0; i < lives; i++)
        {
            var mode = modeOf?.Invoke(failures[i], random);
            if (watching == Watching.Inspected)
                Inspected(builder, failures[i], ends, mode);
            else if (watching == Watching.Complete || failures[i] <= ends[i])
                builder.AddFailed(failures[i], failures[i] > entries[i] ? entries[i] : 0, failureMode: mode);
            else
                builder.AddSurvived(ends[i], entries[i]);
        }
#pragma warning restore CA5394

        return builder.Build();
    }

    private static void Inspected(LifeSampleBuilder builder, double failure, double[] inspections, string? mode)
    {
        var k = Array.FindIndex(inspections, age => failure <= age);
        if (k < 0)
            builder.AddSurvived(inspections[^1]);
        else
            builder.AddBetween(k == 0 ? 0 : inspections[k - 1], inspections[k], failureMode: mode);
    }
}
