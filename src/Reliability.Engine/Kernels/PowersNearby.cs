using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Kernels;

/// <summary>
/// The likelihood of many exact and right-censored Weibull lives at shapes near each other: one pass over the lives gives the sums from
/// which Taylor's series has every shape within 2 %, so that bounds of a large sample ask for a pass or two in all.
/// </summary>
/// <param name="sample">Lives failed or survived, watched from the start.</param>
/// <param name="axis">Their log time axis.</param>
internal sealed class PowersNearby(LifeSample sample, LogTimeAxis axis)
{
    // One reference, so that threads see a shape and its own sums.
    private About? _last;

    /// <summary>Value, gradient and Hessian, as <see cref="LogTimeLikelihood.Evaluate"/> has them.</summary>
    public LikelihoodPoint At(double u, double v, CancellationToken cancellationToken)
    {
        if (_last is not { } about || Math.Abs(u - about.Shape) > RightCensoredWeibull.LongestStep * about.Shape)
            _last = about = new(u, RightCensoredWeibull.Powers(sample, u, cancellationToken));
        var (s0, s1, s2, _) = about.Sums.Moved(u - about.Shape, 8);
        var (failed, failedX, hazard) = (sample.FailedCount, about.Sums[WeightedPowers.FailedX], Math.Exp(v));
        return new()
        {
            Value = failed * (Math.Log(u) - axis.LogReference + v) + (u - 1) * failedX - hazard * s0,
            GradientU = failed / u + failedX - hazard * s1,
            GradientV = failed - hazard * s0,
            HessianUU = -failed / (u * u) - hazard * s2,
            HessianUV = -hazard * s1,
            HessianVV = -hazard * s0,
        };
    }

    private sealed record About(double Shape, WeightedPowers Sums);
}
