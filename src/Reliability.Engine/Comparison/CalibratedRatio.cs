using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Comparison;

/// <summary>Calibrated bounds of the ratio of a quantity between two cohorts: where r* of it takes the normal quantile.</summary>
/// <param name="numerator">The cohort above the line.</param>
/// <param name="denominator">The one below.</param>
/// <param name="options">Level, and how observation of both ended.</param>
internal sealed class CalibratedRatio(CohortFit numerator, CohortFit denominator, FitOptions options)
{
    /// <summary>Bounds of the log ratio.</summary>
    /// <param name="quantity">A quantity on the log scale.</param>
    /// <param name="likelihoodRatio">Likelihood-ratio bounds of the same.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public FoundBounds Of(LifeQuantity quantity, Func<FoundBounds> likelihoodRatio, CancellationToken cancellationToken)
    {
        if (IsTooFew(numerator) || IsTooFew(denominator))
            return likelihoodRatio() with { Note = LikelihoodRatioInstead.Note };
        var failures = Math.Min(numerator.Sample.FailureCount, denominator.Sample.FailureCount);
        if (failures >= BoundsChoice.ManyFailures)
            return likelihoodRatio();
        var root = new AdjustedRatioRoot(Profiled(numerator, quantity), Profiled(denominator, quantity));
        var normal = -default(StandardNormal).Quantile((1 - options.ConfidenceLevel) / 2);
        if (BoundsChoice.IsLarge(numerator.Sample.RowCount + denominator.Sample.RowCount, failures))
        {
            var near = likelihoodRatio();
            return near with
            {
                Lower = RootCrossing.Moved(root, near.Lower, normal, -1, cancellationToken),
                Upper = RootCrossing.Moved(root, near.Upper, normal, 1, cancellationToken),
            };
        }

        var lower = RootCrossing.Outward(root, normal, -1, cancellationToken);
        var upper = RootCrossing.Outward(root, normal, 1, cancellationToken);
        if (lower is not null && upper is not null)
            return new(lower, upper);
        var instead = likelihoodRatio();
        return new(lower ?? instead.Lower, upper ?? instead.Upper) { Note = LikelihoodRatioInstead.Note };
    }

    private static bool IsTooFew(CohortFit cohort) =>
        !cohort.Maximum!.IsOneParameter && cohort.Sample.FailureCount < BoundsChoice.FewestFailures;

    private ProfiledCohort Profiled(CohortFit cohort, LifeQuantity quantity)
    {
        var plan = PlanDetection.Of(cohort.Sample, options.Termination);
        var outcomes = BoundsChoice.Outcomes(cohort.Likelihood!, cohort.Maximum!, cohort.Sample, plan);
        return new(cohort.Likelihood!, cohort.Space!, quantity, outcomes);
    }
}
