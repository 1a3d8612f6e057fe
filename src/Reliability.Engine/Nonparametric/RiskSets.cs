using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Distinct ages of failure with the lives that failed then and those at risk: entry &lt; age &lt;= end, so a survivor at
/// an age of failure is still at risk there (Kalbfleisch and Prentice 2002, 1.4).
/// </summary>
internal sealed class RiskSets
{
    private RiskSets(double[] hours, double[] failures, double[] atRisk)
    {
        Hours = hours;
        Failures = failures;
        AtRisk = atRisk;
    }

    /// <summary>Distinct ages of failure, increasing.</summary>
    public double[] Hours { get; }

    public double[] Failures { get; }

    public double[] AtRisk { get; }

    /// <summary>Why risk sets cannot be formed; null when they can.</summary>
    public static NotEstimable? Refusal(LifeSample sample)
    {
        if (sample.RowCount == 0)
            return new NotEstimable(NotEstimableReasons.NoObservations, "There are no lives.");
        return sample.HasIntervals
            ? new NotEstimable(
                NotEstimableReasons.IntervalOutcomes,
                "Some failures are known only to lie between two ages; this estimate needs the age of each failure.")
            : null;
    }

    /// <summary>Risk sets at the sample's own ages of failure.</summary>
    public static RiskSets Of(LifeSample sample) => At(sample, DistinctFailureHours([sample]));

    /// <summary>Risk sets of a sample at given ages, increasing.</summary>
    public static RiskSets At(LifeSample sample, double[] hours)
    {
        var failures = new double[hours.Length];
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Failed)
                failures[Array.BinarySearch(hours, sample.LowerHours[i])] += sample.Counts[i];
        }

        // At risk = entered before the age, less ended before it.
        var (entries, entryCounts) = Sorted(sample.EntryHours, sample.Counts);
        var (ends, endCounts) = Sorted(sample.UpperHours, sample.Counts);
        var atRisk = new double[hours.Length];
        double entered = 0, ended = 0;
        int e = 0, f = 0;
        for (var k = 0; k < hours.Length; k++)
        {
            for (; e < entries.Length && entries[e] < hours[k]; e++)
                entered += entryCounts[e];
            for (; f < ends.Length && ends[f] < hours[k]; f++)
                ended += endCounts[f];

            // Fractional counts may leave a rounding error; whoever fails was at risk.
            var remaining = entered - ended - failures[k];
            atRisk[k] = failures[k] + (remaining > 1e-12 * entered ? remaining : 0);
        }

        return new RiskSets(hours, failures, atRisk);
    }

    /// <summary>Distinct ages of failure in several samples, increasing.</summary>
    public static double[] DistinctFailureHours(IReadOnlyList<LifeSample> samples)
    {
        var hours = new List<double>();
        foreach (var sample in samples)
        {
            for (var i = 0; i < sample.RowCount; i++)
            {
                if (sample.Outcomes[i] == LifeOutcome.Failed)
                    hours.Add(sample.LowerHours[i]);
            }
        }

        hours.Sort();
        var distinct = new List<double>(hours.Count);
        foreach (var hour in hours)
        {
            if (distinct.Count == 0 || hour > distinct[^1])
                distinct.Add(hour);
        }

        return [.. distinct];
    }

    private static (double[] Hours, double[] Counts) Sorted(ReadOnlySpan<double> hours, ReadOnlySpan<double> counts)
    {
        var keys = hours.ToArray();
        var items = counts.ToArray();
        Array.Sort(keys, items);
        return (keys, items);
    }
}
