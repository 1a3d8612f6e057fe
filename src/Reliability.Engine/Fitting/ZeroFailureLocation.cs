using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Fitting;

/// <summary>
/// What no failures say with the shape held: the v at which surviving all of it would have had probability 1 - level.
/// For the Weibull this is scale = (S / -log(1 - level))^(1/shape) (IEC 61649:2008; Meeker and Escobar 1998, ch. 8 on a given sigma, from memory).
/// </summary>
internal static class ZeroFailureLocation
{
    /// <summary>The upper bound of v, by Newton's method within a bracket; null when it lies beyond any number.</summary>
    public static double? UpperV(LogTimeLikelihood likelihood, double u, double level, CancellationToken cancellationToken)
    {
        // The likelihood of a sample without failures is the probability of surviving it; it falls as v rises.
        var target = SpecialFunctions.NearZero.Log1p(-level);
        double low = -1, high = 1;
        while (likelihood.Evaluate(u, low, cancellationToken).Value < target)
        {
            low *= 2;
            if (low < -1e6)
                return null;
        }

        while (likelihood.Evaluate(u, high, cancellationToken).Value > target)
        {
            high *= 2;
            if (high > 1e6)
                return null;
        }

        var v = (low + high) / 2;
        for (var i = 0; i < 200; i++)
        {
            var point = likelihood.Evaluate(u, v, cancellationToken);

            // Newton on log(-log L), which is a straight line for the Weibull.
            var step = point.IsFinite && point.Value < 0
                ? Math.Log(target / point.Value) * point.Value / point.GradientV
                : double.NaN;
            if (point.IsFinite && point.Value > target)
                low = v;
            else
                high = v;
            if (Math.Abs(step) <= 1e-14 * (1 + Math.Abs(v)))
                return v + step;
            var next = v + step;
            v = next > low && next < high ? next : (low + high) / 2;
        }

        return v;
    }
}
