using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>
/// How the prior leans away from the right-Haar one, 1/sigma in (location, sigma): the posterior of the shape is multiplied by
/// shape^<see cref="Shape"/>, and that of the hazard accumulated by all lives, given the shape, by its power <see cref="Scale"/>. With
/// late entry the posterior of the shape is also multiplied by a power of the share of the hazard up to the ends of lives that was
/// watched: as the shape goes to 0 it vanishes where no life was watched from new, and without it no finite mass would be left there.
/// </summary>
/// <param name="Shape">Power of the shape.</param>
/// <param name="Scale">Power of the accumulated hazard.</param>
/// <param name="Watched">Power of the share of the hazard that was watched.</param>
internal readonly record struct PriorTilt(double Shape, double Scale, double Watched = 0)
{
    /// <summary>Without a failure, or with one and a time-terminated plan, the Poisson rate's own: Gamma(r + 1/2).</summary>
    private const double OfRate = 0.5;

    /// <summary>Power of the watched share when all lives entered late: above 1, so that the shape keeps a finite mass; 2 came out best.</summary>
    private const double OfWatched = 2;

    /// <summary>No lean: exact for complete and failure-terminated samples (Lawless 2003, ch. 5, by the pivotal quantities).</summary>
    public static PriorTilt None => default;

    /// <summary>
    /// d = s and k = s/2 with s = sum w F (1 - F) / sum w F over the ages at which the lives would have been stopped, F the failed
    /// fraction there at the fit: none for failure-terminated and complete samples. A rule of this project's own, found by simulation
    /// (docs/validation/prediction.md).
    /// </summary>
    public static PriorTilt Of(
        LifeSample sample, LogTimeAxis axis, IStandardDistribution distribution, Termination termination, double u, double v)
    {
        var watched = OfWatched * LateShare(sample);
        if (IsFailureTerminated(sample, termination))
            return new(0, sample.FailureCount > 0 ? 0 : OfRate, watched);
        if (sample.FailureCount < 2)
            return new(1, OfRate, watched);
        var plan = CensoringPlan.Of(sample, axis);
        double failed = 0, both = 0;
        for (var entry = 0; entry < plan.Entries.Length; entry++)
        {
            var before = distribution.LogSurvival(u * plan.Entries[entry] + v);
            for (var end = 0; end < plan.Ends.Length; end++)
            {
                var lives = plan.Lives[entry][end];
                if (lives == 0)
                    continue;
                var survived = double.IsPositiveInfinity(plan.Ends[end])
                    ? 0
                    : Math.Exp(Math.Min(0, distribution.LogSurvival(u * plan.Ends[end] + v) - before));
                failed += lives * (1 - survived);
                both += lives * (1 - survived) * survived;
            }
        }

        var share = failed > 0 ? both / failed : 1;
        return new(share, share / 2, watched);
    }

    /// <summary>Share of the lives that were watched from an age above 0.</summary>
    public static double LateShare(LifeSample sample)
    {
        double late = 0;
        for (var i = 0; i < sample.RowCount; i++)
            late += sample.EntryHours[i] > 0 ? sample.Counts[i] : 0;
        return late / sample.TotalCount;
    }

    /// <summary>Whether the lives were watched until a failure, as bounds see it.</summary>
    public static bool IsFailureTerminated(LifeSample sample, Termination termination) =>
        sample.FailedCount > 0 && PlanDetection.Of(sample, termination).Termination == Termination.FailureTerminated;
}
