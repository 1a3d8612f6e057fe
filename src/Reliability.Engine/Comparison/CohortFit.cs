using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Comparison;

/// <summary>The bare maximum of one cohort's likelihood, or why there is none.</summary>
internal sealed record CohortFit(
    LifeSample Sample, LogTimeLikelihood? Likelihood, Maximum? Maximum, ParameterSpace? Space, NotEstimable? Reason)
{
    public static CohortFit Of<T>(
        LocationScaleModel<T> model, Func<LifeSample, LogTimeLikelihood> likelihoodOf, LifeSample sample,
        CancellationToken cancellationToken)
        where T : struct, IStandardDistribution
    {
        var likelihood = sample.RowCount > 0 ? likelihoodOf(sample) : null;
        if (LocationScaleModel<T>.Unestimable(sample, model.ConstantU) is { } reason)
            return new CohortFit(sample, likelihood, null, null, reason);
        return LocationScaleModel<T>.Maximise(likelihood!, model.ConstantU, cancellationToken)
            .TryGet(out var maximum, out var noMaximum)
            ? new CohortFit(
                sample, likelihood, maximum, new ParameterSpace(likelihood!.Distribution, likelihood.Sample.Axis, maximum), null)
            : new CohortFit(sample, likelihood, null, null, noMaximum);
    }
}
