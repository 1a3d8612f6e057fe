namespace Reliability.Engine.LocationScale;

/// <summary>The loops of <see cref="LogTimeLikelihood"/>, compiled once a distribution so that its functions are inlined.</summary>
internal sealed class LogTimeLikelihood<T>(LogTimeSample sample) : LogTimeLikelihood(sample)
    where T : struct, IStandardDistribution
{
    // An interval narrower than this (in z, weighted by the slope of the density) is the density at its midpoint times
    // its width to within 1e-9; the difference of two tails would lose the Hessian's digits there.
    private const double NarrowWidth = 1e-4;

    public override IStandardDistribution Distribution => default(T);

    public override LikelihoodPoint Evaluate(double u, double v, CancellationToken cancellationToken)
    {
        if (!(u > 0) || !double.IsFinite(v))
            return LikelihoodPoint.OutOfDomain;
        var point = new LikelihoodPoint
        {
            Value = Sample.TotalFailed * Math.Log(u) - Sample.SumLogFailedHours,
            GradientU = Sample.TotalFailed / u,
            HessianUU = -Sample.TotalFailed / (u * u),
        };
        AddFailed(ref point, u, v, cancellationToken);
        AddTails(ref point, Sample.SurvivedX, Sample.SurvivedCount, 1, u, v, cancellationToken);
        AddBetween(ref point, u, v, cancellationToken);
        AddTails(ref point, Sample.EntryX, Sample.EntryCount, -1, u, v, cancellationToken);
        return point;
    }

    private void AddFailed(ref LikelihoodPoint point, double u, double v, CancellationToken cancellationToken)
    {
        T distribution = default;
        var x = Sample.FailedX;
        var count = Sample.FailedCount;
        for (var start = 0; start < x.Length; start += Block)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var end = Math.Min(start + Block, x.Length);
            double value = 0, gu = 0, gv = 0, huu = 0, huv = 0, hvv = 0;
            for (var i = start; i < end; i++)
            {
                var xi = x[i];
                var log = distribution.LogDensity(u * xi + v, out var slope, out var curvature);
                value += count[i] * log;
                slope *= count[i];
                curvature *= count[i];
                gv += slope;
                gu += slope * xi;
                hvv += curvature;
                huv += curvature * xi;
                huu += curvature * xi * xi;
            }

            Add(ref point, 1, value, gu, gv, huu, huv, hvv);
        }
    }

    private static void AddTails(
        ref LikelihoodPoint point, double[] x, double[] count, double sign, double u, double v,
        CancellationToken cancellationToken)
    {
        T distribution = default;
        for (var start = 0; start < x.Length; start += Block)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var end = Math.Min(start + Block, x.Length);
            double value = 0, gu = 0, gv = 0, huu = 0, huv = 0, hvv = 0;
            for (var i = start; i < end; i++)
            {
                var xi = x[i];
                var log = distribution.LogSurvival(u * xi + v, out var slope, out var curvature);
                value += count[i] * log;
                slope *= count[i];
                curvature *= count[i];
                gv += slope;
                gu += slope * xi;
                hvv += curvature;
                huv += curvature * xi;
                huu += curvature * xi * xi;
            }

            Add(ref point, sign, value, gu, gv, huu, huv, hvv);
        }
    }

    private void AddBetween(ref LikelihoodPoint point, double u, double v, CancellationToken cancellationToken)
    {
        T distribution = default;
        var sample = Sample;
        double value = 0, gu = 0, gv = 0, huu = 0, huv = 0, hvv = 0;
        for (var i = 0; i < sample.LowerX.Length; i++)
        {
            if (i % Block == 0)
                cancellationToken.ThrowIfCancellationRequested();
            var count = sample.BetweenCount[i];
            var xb = sample.UpperX[i];
            var width = u * sample.WidthX[i];
            if (width < NarrowWidth)
            {
                var middle = sample.LowerX[i] + sample.WidthX[i] / 2;
                var density = distribution.LogDensity(u * middle + v, out var slope, out var curvature);
                if (width * (1 + Math.Abs(slope)) < NarrowWidth)
                {
                    value += count * (density + Math.Log(width));
                    gv += count * slope;
                    gu += count * (slope * middle + 1 / u);
                    hvv += count * curvature;
                    huv += count * curvature * middle;
                    huu += count * (curvature * middle * middle - 1 / (u * u));
                    continue;
                }
            }

            var fromStart = double.IsNegativeInfinity(sample.LowerX[i]);
            var xa = fromStart ? 0 : sample.LowerX[i];
            var za = fromStart ? double.NegativeInfinity : u * xa + v;
            var zb = u * xb + v;
            var log = distribution.LogInterval(za, zb, width);
            value += count * log;

            // d/dz of log(F(b) - F(a)): the density at an end over the probability between the ends.
            var atUpper = Math.Exp(distribution.LogDensity(zb, out var slopeUpper, out _) - log);
            double atLower = 0, slopeLower = 0;
            if (!fromStart)
                atLower = Math.Exp(distribution.LogDensity(za, out slopeLower, out _) - log);
            if (atUpper == 0)
                slopeUpper = 0;
            if (atLower == 0)
                slopeLower = 0;
            var hbb = atUpper * slopeUpper - atUpper * atUpper;
            var haa = -atLower * slopeLower - atLower * atLower;
            var hab = atUpper * atLower;
            gv += count * (atUpper - atLower);
            gu += count * (atUpper * xb - atLower * xa);
            hvv += count * (hbb + haa + 2 * hab);
            huv += count * (hbb * xb + haa * xa + hab * (xa + xb));
            huu += count * (hbb * xb * xb + haa * xa * xa + 2 * hab * xa * xb);
        }

        Add(ref point, 1, value, gu, gv, huu, huv, hvv);
    }

    private static void Add(
        ref LikelihoodPoint point, double sign, double value, double gu, double gv, double huu, double huv, double hvv)
    {
        point.Value += sign * value;
        point.GradientU += sign * gu;
        point.GradientV += sign * gv;
        point.HessianUU += sign * huu;
        point.HessianUV += sign * huv;
        point.HessianVV += sign * hvv;
    }
}
