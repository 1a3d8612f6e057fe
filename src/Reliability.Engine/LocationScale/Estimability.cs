using Reliability.Engine.Abstractions;

namespace Reliability.Engine.LocationScale;

/// <summary>
/// Decides from the raw ages, before any maximisation, whether the likelihood of a log-location-scale family has a
/// maximum at finite parameters. Without late entry the likelihood is concave in (u, v), so the conditions are exact:
/// it grows without end in u when one single age agrees with every row, and it is pushed to u = 0 when failures are
/// known only to lie below ages that are no older than the survivors'.
/// </summary>
internal static class Estimability
{
    /// <summary>Why shape and scale cannot both be estimated; null when nothing speaks against it.</summary>
    public static NotEstimable? OfBothParameters(LifeSample sample)
    {
        if (OfAnything(sample) is { } reason)
            return reason;
        double greatestFloor = 0, leastCeiling = sample.EarliestFailureHours;
        var anchored = sample.FailedCount > 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            var outcome = sample.Outcomes[i];
            if (outcome != LifeOutcome.Between || HasFloor(sample, i))
            {
                greatestFloor = Math.Max(greatestFloor, sample.LowerHours[i]);
                anchored |= outcome == LifeOutcome.Between;
            }

            // Of most samples a few rows already tell.
            if (anchored && greatestFloor > leastCeiling)
                return null;
        }

        // Where the two only touch and no exact failure lies there, the ridge has a finite height; with late entry a
        // maximum elsewhere may stand above it, and the likelihood itself must say.
        var touches = greatestFloor == leastCeiling && (sample.FailedCount > 0 || !sample.HasLateEntry);
        if (greatestFloor < leastCeiling || touches)
        {
            return sample.HasIntervals
                ? new NotEstimable(
                    NotEstimableReasons.MaximumAtInfinity,
                    "One single age of failure agrees with every life, so the spread of lives cannot be estimated.")
                : new NotEstimable(
                    NotEstimableReasons.AllFailuresAtGreatestTime,
                    "All failures are at the greatest age of the sample and no life went beyond it, so the shape has no "
                    + "finite estimate.");
        }

        if (!anchored && !sample.HasLateEntry && MeanLogCeilingOfFailures(sample) <= MeanLogSurvived(sample))
        {
            return new NotEstimable(
                NotEstimableReasons.MaximumAtInfinity,
                "Failures are known only to lie below ages that are no older than the survivors', so the spread of lives "
                + "cannot be estimated.");
        }

        return null;
    }

    /// <summary>Why the scale cannot be estimated although the shape is given; null when nothing speaks against it.</summary>
    public static NotEstimable? OfScale(LifeSample sample)
    {
        if (OfAnything(sample) is { } reason)
            return reason;
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Between || HasFloor(sample, i))
                return null;
        }

        return new NotEstimable(
            NotEstimableReasons.MaximumAtInfinity,
            "Every life failed at an unknown age since it was first observed, so any short life agrees with them.");
    }

    private static NotEstimable? OfAnything(LifeSample sample)
    {
        if (sample.RowCount == 0)
            return new NotEstimable(NotEstimableReasons.NoObservations, "There are no lives.");
        return sample.FailureCount > 0
            ? null
            : new NotEstimable(
                NotEstimableReasons.NoFailures,
                "No life has failed. With a shape stated, or borrowed from a wider cohort, there are lower bounds on life.");
    }

    /// <summary>Whether a row says that the life lasted beyond its entry.</summary>
    private static bool HasFloor(LifeSample sample, int i) => sample.LowerHours[i] > sample.EntryHours[i];

    private static double MeanLogCeilingOfFailures(LifeSample sample) =>
        MeanLog(sample, outcome => outcome != LifeOutcome.Survived);

    private static double MeanLogSurvived(LifeSample sample) =>
        MeanLog(sample, outcome => outcome == LifeOutcome.Survived);

    private static double MeanLog(LifeSample sample, Func<LifeOutcome, bool> select)
    {
        double sum = 0, weight = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (select(sample.Outcomes[i]))
            {
                sum += sample.Counts[i] * Math.Log(sample.UpperHours[i]);
                weight += sample.Counts[i];
            }
        }

        return sum / weight;
    }
}
