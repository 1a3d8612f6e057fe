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
    private const double LeastLogHazard = -16, Step = 0.033;
    private const int Points = 600;

    private static readonly double[] Inspections = [0.15, 0.3, 0.45, 0.6, 0.75, 0.9];

    /// <summary>A sample of so many lives.</summary>
    /// <param name="distribution">The distribution.</param>
    /// <param name="member">Its parameters.</param>
    /// <param name="lives">How many.</param>
    /// <param name="watching">How they are watched.</param>
    /// <param name="seed">The same seed, the same sample.</param>
    /// <param name="modeOf">Failure mode of a life by age at failure; null when modes are nothing.</param>
    public static LifeSample Draw(
        ILifeFamily distribution, double[] member, int lives, Watching watching, int seed, Func<double, Random, string?>? modeOf = null)
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

        var table = Table(distribution, member);
        var entries = Ages(table, entry);
        var failures = Ages(table, failed);
        var ends = Ages(table, watching == Watching.Inspected ? Inspections : end);
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

    /// <summary>Ages at failed fractions, between tabulated ones along a line of log age over log hazard: to a ten-thousandth of the spread.</summary>
    private static double[] Ages((double[] LogHazards, double[] LogAges) table, double[] fractions) =>
    [
        .. fractions.Select(p =>
        {
            if (p == 0)
                return 0.0;
            var place = (Math.Log(Tails.Hazard(p)) - table.LogHazards[0]) / Step;
            var k = (int)Math.Clamp(Math.Floor(place), 0, table.LogAges.Length - 2);
            return Math.Exp(table.LogAges[k] + (place - k) * (table.LogAges[k + 1] - table.LogAges[k]));
        }),
    ];

    private static (double[] LogHazards, double[] LogAges) Table(ILifeFamily distribution, double[] member)
    {
        double[] logHazards = [.. Enumerable.Range(0, Points).Select(i => LeastLogHazard + i * Step)];
        return (logHazards, [.. distribution.AgesAt(member, [.. logHazards.Select(Math.Exp)]).Select(age => Math.Log(age))]);
    }
}
