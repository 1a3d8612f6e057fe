using Reliability.Engine.Abstractions;
using Reliability.Engine.Kernels;

namespace Reliability.Engine.LocationScale;

/// <summary>
/// Newton's method on (u, v), or on v alone, with a shifted Hessian where it is not negative definite (late entry) and
/// step halving. Converged means that the Newton step is below 1e-10 standard errors and u has settled. Of a large sample, where
/// each look at the likelihood is a pass over its rows, the last step is taken without another look once what it leaves is foretold
/// to be below that.
/// </summary>
internal static class Maximiser
{
    private const double Tolerance = 1e-10;
    private const double SettledU = 1e-6;

    // By how much the Hessian may have changed over a last step that is not looked at: that much the covariance is off, relative.
    private const double LastChange = 1e-7;
    private const int MaximumIterations = 200;
    private const int Patience = 15;
    private const double LeastU = 1e-12;
    private const double GreatestU = 1e15;
    private const double GreatestV = 1e7;

    /// <summary>Maximises over both parameters.</summary>
    public static Estimable<Maximum> Maximise(LogTimeLikelihood likelihood, CancellationToken cancellationToken)
    {
        var lives = likelihood.Sample.Lives;
        if (likelihood.Distribution is SmallestExtremeValue && !lives.HasIntervals && !lives.HasLateEntry
            && RightCensoredWeibull.Maximise(lives, cancellationToken) is { } maximum)
        {
            return maximum;
        }

        if (!likelihood.Sample.IsHeld && Maximise(likelihood.OfFew(), cancellationToken).TryGet(out var near, out _)
            && MaximiseFrom(likelihood, near.U, near.V, cancellationToken) is var found && found.TryGet(out _, out _))
        {
            return found;
        }

        var (u, v) = Start(likelihood);
        if (!lives.HasLateEntry)
            return MaximiseFrom(likelihood, u, v, cancellationToken);

        // With late entry the likelihood is not concave: look from several starts and keep the highest.
        Estimable<Maximum>? best = null;
        foreach (var factor in (ReadOnlySpan<double>)[1, 3, 1.0 / 3, 10])
        {
            var next = MaximiseFrom(likelihood, u * factor, v, cancellationToken);
            if (best is null || !best.TryGet(out var bestMaximum, out _)
                || (next.TryGet(out var higher, out _) && higher.Value > bestMaximum.Value))
            {
                best = next;
            }
        }

        return best!;
    }

    /// <summary>Maximises over v with u held.</summary>
    public static Estimable<Maximum> MaximiseLocation(
        LogTimeLikelihood likelihood, double u, CancellationToken cancellationToken)
    {
        var v = StartLocation(likelihood, u);
        double below = double.NegativeInfinity, above = double.PositiveInfinity;
        LikelihoodPoint point = default;
        for (var i = 0; i < MaximumIterations && Math.Abs(v) < GreatestV; i++)
        {
            point = likelihood.Evaluate(u, v, cancellationToken);

            // Far too great a v overflows; otherwise the slope says on which side the maximum lies.
            if (!point.IsFinite || point.GradientV < 0)
                above = v;
            else
                below = v;
            var information = -point.HessianVV;
            var decrement = Math.Abs(point.GradientV) / Math.Sqrt(information);
            if (point.IsFinite && information > 0 && decrement < Tolerance)
                return new Maximum(u, v, point.Value, 0, 0, 1 / information, decrement);
            var next = v + Math.Clamp(point.GradientV / information, -5, 5);
            if (!(information > 0 && next > below && next < above))
            {
                next = double.IsInfinity(above) ? below + 5
                    : double.IsInfinity(below) ? above - 5
                    : (below + above) / 2;
            }

            v = next;
        }

        return Refusal(likelihood.Sample, u, v, point);
    }

    private static Estimable<Maximum> MaximiseFrom(
        LogTimeLikelihood likelihood, double u, double v, CancellationToken cancellationToken)
    {
        var current = likelihood.Evaluate(u, v, cancellationToken);
        var least = double.PositiveInfinity;
        var sinceLeast = 0;

        // The decrement before a whole step; with the square of it the next one falls.
        var wholeStep = double.NaN;
        for (var i = 0; i < MaximumIterations && current.IsFinite && sinceLeast < Patience; i++)
        {
            var definite = Solve(current, out var stepU, out var stepV);
            var decrement = Math.Sqrt(Math.Max(0, current.GradientU * stepU + current.GradientV * stepV));
            if (definite && decrement < Tolerance && Math.Abs(stepU) < SettledU * u)
                return WithCovariance(u, v, current, decrement);
            var contraction = decrement / (wholeStep * wholeStep);
            if (definite && !likelihood.Sample.IsHeld && Math.Abs(stepU) < SettledU * u
                && contraction * decrement < LastChange && contraction * decrement * decrement < Tolerance / 10)
            {
                current.Value += decrement * decrement / 2;
                return WithCovariance(u + stepU, v + stepV, current, contraction * decrement * decrement);
            }

            // Once close, a step that shrinks no more is rounding.
            sinceLeast = decrement < least || decrement > 1e-3 ? 0 : sinceLeast + 1;
            least = Math.Min(least, decrement);

            // Keep u positive and the step within reason; concavity does the rest.
            var scale = 1.0;
            if (u + stepU < 0.2 * u)
                scale = -0.8 * u / stepU;
            if (u + stepU > 10 * u)
                scale = 9 * u / stepU;
            var (fromU, fromV) = (u, v);
            if (!Improve(likelihood, ref u, ref v, ref current, scale * stepU, scale * stepV, cancellationToken))
                break;
            wholeStep = definite && u == fromU + stepU && v == fromV + stepV ? decrement : double.NaN;
            if (u is < LeastU or > GreatestU || Math.Abs(v) > GreatestU)
                break;
        }

        return Refusal(likelihood.Sample, u, v, current);
    }

    /// <summary>The Newton step; false when the Hessian had to be shifted to make it an ascent direction.</summary>
    private static bool Solve(in LikelihoodPoint point, out double stepU, out double stepV)
    {
        var uu = -point.HessianUU;
        var uv = -point.HessianUV;
        var vv = -point.HessianVV;
        var definite = IsPositiveDefinite(uu, uv, vv);
        if (!definite)
        {
            var sizeU = Math.Max(Math.Abs(uu), double.Epsilon);
            var sizeV = Math.Max(Math.Abs(vv), double.Epsilon);
            for (var shift = 1e-3; !IsPositiveDefinite(uu, uv, vv) && shift < 1e12; shift *= 4)
            {
                uu = -point.HessianUU + shift * sizeU;
                vv = -point.HessianVV + shift * sizeV;
            }
        }

        var determinant = uu * vv - uv * uv;
        stepU = (vv * point.GradientU - uv * point.GradientV) / determinant;
        stepV = (uu * point.GradientV - uv * point.GradientU) / determinant;
        return definite;
    }

    private static bool IsPositiveDefinite(double uu, double uv, double vv) =>
        uu > 0 && vv > 0 && uu * vv - uv * uv > 1e-13 * uu * vv;

    private static bool Improve(
        LogTimeLikelihood likelihood, ref double u, ref double v, ref LikelihoodPoint current,
        double stepU, double stepV, CancellationToken cancellationToken)
    {
        if (!double.IsFinite(stepU) || !double.IsFinite(stepV))
            return false;
        var slack = 1e-13 * (1 + Math.Abs(current.Value));
        for (var halvings = 0; halvings < 60; halvings++)
        {
            var next = likelihood.Evaluate(u + stepU, v + stepV, cancellationToken);
            if (next.IsFinite && next.Value >= current.Value - slack)
            {
                u += stepU;
                v += stepV;
                current = next;
                return true;
            }

            stepU /= 2;
            stepV /= 2;
        }

        return false;
    }

    private static Estimable<Maximum> WithCovariance(double u, double v, in LikelihoodPoint point, double decrement)
    {
        var uu = -point.HessianUU;
        var uv = -point.HessianUV;
        var vv = -point.HessianVV;
        var determinant = uu * vv - uv * uv;
        var maximum = new Maximum(u, v, point.Value, vv / determinant, -uv / determinant, uu / determinant, decrement);
        return double.IsFinite(maximum.CovarianceUU) && double.IsFinite(maximum.CovarianceVV)
            ? maximum
            : new NotEstimable(
                NotEstimableReasons.SingularInformation, "These lives do not tell the parameters apart.");
    }

    private static NotEstimable Refusal(LogTimeSample sample, double u, double v, in LikelihoodPoint point)
    {
        var (startU, _) = Moments(sample);
        var ranAway = u < 1e-3 * startU || u > 1e3 * startU || Math.Abs(v) > 1e3 * (1 + u) || !point.IsFinite;
        return ranAway
            ? new NotEstimable(
                NotEstimableReasons.MaximumAtInfinity,
                "The likelihood of these lives keeps growing as a parameter runs to the end of its range; it has no maximum.")
            : new NotEstimable(
                NotEstimableReasons.NoConvergence,
                "The maximisation did not reach its tolerance; no number is given rather than a doubtful one.");
    }

    private static (double U, double V) Start(LogTimeLikelihood likelihood)
    {
        var (perSpread, _) = Moments(likelihood.Sample);
        var distribution = likelihood.Distribution;
        var u = perSpread * (distribution.Quantile(0.84) - distribution.Quantile(0.16)) / 2;
        return (u, StartLocation(likelihood, u));
    }

    private static double StartLocation(LogTimeLikelihood likelihood, double u)
    {
        var sample = likelihood.Sample;
        var (_, meanOfFailures) = Moments(sample);
        var failures = sample.TotalFailed + sample.TotalBetween;
        var fraction = 0.5 * failures / (failures + sample.TotalSurvived);
        return likelihood.Distribution.Quantile(Math.Clamp(fraction, 1e-12, 0.5)) - u * meanOfFailures;
    }

    /// <summary>One over the spread of log age, and the mean log age of failures (intervals at their middle).</summary>
    private static (double PerSpread, double MeanOfFailures) Moments(LogTimeSample sample)
    {
        if (!sample.IsHeld)
            return Moments(sample.Few());
        double weight = 0, sum = 0, failures = 0, failureSum = 0;
        void Add(double x, double count, bool failed)
        {
            weight += count;
            sum += count * x;
            if (failed)
            {
                failures += count;
                failureSum += count * x;
            }
        }

        for (var i = 0; i < sample.FailedX.Length; i++)
            Add(sample.FailedX[i], sample.FailedCount[i], true);
        for (var i = 0; i < sample.SurvivedX.Length; i++)
            Add(sample.SurvivedX[i], sample.SurvivedCount[i], false);
        for (var i = 0; i < sample.UpperX.Length; i++)
            Add(Middle(sample, i), sample.BetweenCount[i], true);

        var mean = sum / weight;
        double squares = 0;
        for (var i = 0; i < sample.FailedX.Length; i++)
            squares += sample.FailedCount[i] * Square(sample.FailedX[i] - mean);
        for (var i = 0; i < sample.SurvivedX.Length; i++)
            squares += sample.SurvivedCount[i] * Square(sample.SurvivedX[i] - mean);
        for (var i = 0; i < sample.UpperX.Length; i++)
            squares += sample.BetweenCount[i] * Square(Middle(sample, i) - mean);
        var spread = Math.Sqrt(squares / weight);
        return (spread > 0 ? 1 / spread : 1, failures > 0 ? failureSum / failures : mean);
    }

    private static double Middle(LogTimeSample sample, int i) =>
        sample.UpperX[i] - Math.Min(0.7, sample.WidthX[i] / 2);

    private static double Square(double x) => x * x;
}
