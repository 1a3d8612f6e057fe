using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Exact;

/// <summary>Exact bounds where two parameters are estimated, as a request asks for them.</summary>
internal static class ExactChoice
{
    /// <summary>The bounds, or why these lives have none.</summary>
    public static Estimable<BoundsChoice> Of(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, FitOptions options, CancellationToken cancellationToken)
    {
        var plan = PlanDetection.Of(sample, options.Termination);
        if (plan.Termination != Termination.FailureTerminated || !EndsAtFailures(sample))
        {
            return new NotEstimable(
                NotEstimableReasons.NoExactBounds,
                "Exact bounds (bounds_method) of two parameters exist when observation ended at failures (termination): all lives watched from "
                + "the start, and failed or withdrawn exactly when one failed. That is not so here. Ask for calibrated bounds.");
        }

        return PivotalDistribution.Of(likelihood, space.Maximum, cancellationToken) is { } distribution
            ? new BoundsChoice(new PivotalBounds(distribution, space, options.ConfidenceLevel), plan)
            : new NotEstimable(
                NotEstimableReasons.NoExactBounds,
                "The distribution of the pivotal quantities could not be integrated for these lives: exact bounds need two failures at "
                + "different ages. Ask for calibrated or likelihood-ratio bounds.");
    }

    private static bool EndsAtFailures(LifeSample sample)
    {
        var failures = new HashSet<double>();
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Failed)
                failures.Add(sample.LowerHours[i]);
        }

        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived && !failures.Contains(sample.LowerHours[i]))
                return false;
        }

        return sample.FailedCount >= 2;
    }
}
