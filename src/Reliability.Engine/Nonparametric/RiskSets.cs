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
    public static RiskSets Of(LifeSample sample)
    {
        // Sorting takes most of the time of a large sample, and the two sorts know nothing of each other.
        AgeCounts? failed = null, survived = null;
        Parallel.Invoke(
            () => failed = AgeCounts.Of(sample, LifeOutcome.Failed), () => survived = AgeCounts.Of(sample, LifeOutcome.Survived));
        return At(sample, failed!, survived!, failed!.DistinctHours());
    }

    /// <summary>Risk sets of a sample at given ages, increasing.</summary>
    public static RiskSets At(LifeSample sample, double[] hours) =>
        At(sample, AgeCounts.Of(sample, LifeOutcome.Failed), AgeCounts.Of(sample, LifeOutcome.Survived), hours);

    private static RiskSets At(LifeSample sample, AgeCounts failed, AgeCounts survived, double[] hours)
    {
        // At risk = entered before the age, less ended before it.
        var entries = sample.HasLateEntry ? AgeCounts.OfEntries(sample) : null;
        var failures = new double[hours.Length];
        var atRisk = new double[hours.Length];
        double entered = sample.TotalCount, failedBefore = 0, survivedBefore = 0;
        int e = 0, f = 0, s = 0;
        for (var k = 0; k < hours.Length; k++)
        {
            if (entries is not null)
                entered = entries.Through(hours[k], inclusive: false, ref e, k == 0 ? 0 : entered);
            survivedBefore = survived.Through(hours[k], inclusive: false, ref s, survivedBefore);
            failedBefore = failed.Through(hours[k], inclusive: false, ref f, failedBefore);
            failures[k] = failed.Through(hours[k], inclusive: true, ref f, 0);

            // Fractional counts may leave a rounding error; whoever fails was at risk.
            var remaining = entered - (failedBefore + survivedBefore) - failures[k];
            atRisk[k] = failures[k] + (remaining > 1e-12 * entered ? remaining : 0);
            failedBefore += failures[k];
        }

        return new RiskSets(hours, failures, atRisk);
    }

    /// <summary>Lives that entered before each age and are not known to have ended before it; with failures between two ages some of
    /// them may have.</summary>
    public static double[] AtMost(LifeSample sample, double[] hours)
    {
        var entries = AgeCounts.OfEntries(sample);
        var ends = AgeCounts.OfEnds(sample);
        double entered = 0, ended = 0;
        int e = 0, f = 0;
        return Array.ConvertAll(hours, at =>
        {
            entered = entries.Through(at, inclusive: false, ref e, entered);
            ended = ends.Through(at, inclusive: false, ref f, ended);
            return entered - ended;
        });
    }

    /// <summary>Distinct ages of failure in several samples, increasing.</summary>
    public static double[] DistinctFailureHours(IReadOnlyList<LifeSample> samples) =>
        AgeCounts.Of(samples, LifeOutcome.Failed).DistinctHours();
}
