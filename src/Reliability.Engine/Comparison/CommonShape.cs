using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Comparison;

/// <summary>
/// Cohorts with one shape and a scale each: maximises the sum of their likelihoods over the common u, with each v at its
/// own best (Meeker and Escobar 1998, ch. 17, with a factor as the only covariate).
/// </summary>
internal static class CommonShape
{
    /// <summary>The greatest log-likelihood, or why there is none.</summary>
    /// <param name="cohorts">Likelihoods, each on its own axis; u is common to all since x differs by a shift only.</param>
    /// <param name="startU">Where to start.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static (double? LogLikelihood, NotEstimable? Reason) Maximise(
        IReadOnlyList<LogTimeLikelihood> cohorts, double startU, CancellationToken cancellationToken)
    {
        var u = startU;
        double below = 0, above = double.PositiveInfinity;
        for (var i = 0; i < 200; i++)
        {
            double value = 0, slope = 0, curvature = 0;
            foreach (var cohort in cohorts)
            {
                if (!Maximiser.MaximiseLocation(cohort, u, cancellationToken).TryGet(out var best, out var reason))
                    return (null, reason);
                var point = cohort.Evaluate(u, best.V, cancellationToken);
                value += point.Value;
                slope += point.GradientU;
                curvature += point.HessianUU - point.HessianUV * point.HessianUV / point.HessianVV;
            }

            // Newton on log u, kept between the ends that the slope has shown to be too low or too high.
            if (slope > 0)
                below = u;
            else
                above = u;
            var curvatureInLog = curvature * u * u + slope * u;
            var step = curvatureInLog < 0 ? -slope * u / curvatureInLog : Math.CopySign(1, slope);
            if (curvatureInLog < 0 && slope * u * step < 1e-20)
                return (value, null);
            var next = u * Math.Exp(Math.Clamp(step, -1, 1));
            if (!(next > below && next < above))
                next = double.IsInfinity(above) ? 2 * u : (below + above) / 2;
            if (next == u)
                return (value, null);
            u = next;
            if (u > 1e15 || u < 1e-12)
                break;
        }

        return (null, new NotEstimable(
            NotEstimableReasons.MaximumAtInfinity, "The cohorts together have no finite common shape."));
    }
}
