using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Kernels;

/// <summary>
/// What rows add to the log-likelihood, its gradient and its Hessian by (u, v), in one pass over the rows: lanes first, the few rows
/// that are left one by one. Compiled once a distribution and width.
/// </summary>
internal static class RowKernels<T, TLanes>
    where T : struct, IStandardDistribution
    where TLanes : struct, ILanes<TLanes>
{
    // An interval narrower than this (in z, weighted by the slope of the density) is the density at its midpoint times
    // its width to within 1e-9; the difference of two tails would lose the Hessian's digits there.
    private const double NarrowWidth = 1e-4;

    /// <summary>Failures at known ages: log f of z less x, to which the caller adds what is the same for every failure.</summary>
    public static LikelihoodPoint Failed(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double u, double v) =>
        Sum<FailedTerm>(x, count, u, v);

    /// <summary>Lives that lasted beyond an age: log S of z.</summary>
    public static LikelihoodPoint Survived(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double u, double v) =>
        Sum<SurvivedTerm>(x, count, u, v);

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static LikelihoodPoint Sum<TTerm>(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double u, double v)
        where TTerm : struct, IRowTerm
    {
        ref var xs = ref MemoryMarshal.GetReference(x);
        ref var counts = ref MemoryMarshal.GetReference(count);
        TLanes us = TLanes.All(u), vs = TLanes.All(v), zero = TLanes.All(0);
        TLanes value = zero, gu = zero, gv = zero, huu = zero, huv = zero, hvv = zero;
        var i = 0;
        for (; i <= x.Length - TLanes.Count; i += TLanes.Count)
        {
            var xi = TLanes.Load(ref xs, i);
            var weight = TLanes.Load(ref counts, i);
            TTerm.Of<T, TLanes>(TLanes.MultiplyAdd(us, xi, vs), xi, out var log, out var slope, out var curvature);
            value = TLanes.MultiplyAdd(weight, log, value);
            slope *= weight;
            curvature *= weight;
            gv += slope;
            gu = TLanes.MultiplyAdd(slope, xi, gu);
            hvv += curvature;
            curvature *= xi;
            huv += curvature;
            huu = TLanes.MultiplyAdd(curvature, xi, huu);
        }

        var point = Point(value, gu, gv, huu, huv, hvv);
        for (; i < x.Length; i++)
        {
            var log = TTerm.Of<T>(u * x[i] + v, x[i], out var slope, out var curvature);
            Add(ref point, count[i], x[i], log, slope, curvature);
        }

        return point;
    }

    /// <summary>Failures between two ages: log(F(upper) - F(lower)).</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static LikelihoodPoint Between(LogTimeRows rows, double u, double v)
    {
        T distribution = default;
        var length = rows.LowerX.Length;
        ref var lower = ref MemoryMarshal.GetReference(rows.LowerX);
        ref var upper = ref MemoryMarshal.GetReference(rows.UpperX);
        ref var widths = ref MemoryMarshal.GetReference(rows.WidthX);
        ref var counts = ref MemoryMarshal.GetReference(rows.BetweenCount);
        TLanes us = TLanes.All(u), vs = TLanes.All(v), zero = TLanes.All(0), narrow = TLanes.All(NarrowWidth);
        TLanes value = zero, gu = zero, gv = zero, huu = zero, huv = zero, hvv = zero;
        var apart = new LikelihoodPoint();
        var i = 0;
        for (; i <= length - TLanes.Count; i += TLanes.Count)
        {
            var width = us * TLanes.Load(ref widths, i);
            if (TLanes.AnyLess(width, narrow))
            {
                for (var k = i; k < i + TLanes.Count; k++)
                    Between(ref apart, rows, k, u, v);
                continue;
            }

            var xa = TLanes.Load(ref lower, i);
            var xb = TLanes.Load(ref upper, i);
            var weight = TLanes.Load(ref counts, i);
            distribution.LogInterval(
                TLanes.MultiplyAdd(us, xa, vs), TLanes.MultiplyAdd(us, xb, vs), width,
                out var log, out var atLower, out var slopeLower, out var atUpper, out var slopeUpper);

            // From the start nothing hangs on the lower end, which lies nowhere on the axis.
            xa = TLanes.Max(xa, TLanes.All(-1e300));
            var fromLower = zero - TLanes.WhereLess(xa, TLanes.All(-1e299), zero, atLower);
            xa = TLanes.WhereLess(xa, TLanes.All(-1e299), zero, xa);
            var byV = atUpper + fromLower;
            var byU = TLanes.MultiplyAdd(atUpper, xb, fromLower * xa);
            value = TLanes.MultiplyAdd(weight, log, value);
            gv = TLanes.MultiplyAdd(weight, byV, gv);
            gu = TLanes.MultiplyAdd(weight, byU, gu);
            var curveUpper = atUpper * slopeUpper;
            var curveLower = fromLower * slopeLower;
            hvv = TLanes.MultiplyAdd(weight, curveUpper + curveLower - byV * byV, hvv);
            curveUpper *= xb;
            curveLower *= xa;
            huv = TLanes.MultiplyAdd(weight, curveUpper + curveLower - byV * byU, huv);
            huu = TLanes.MultiplyAdd(weight, TLanes.MultiplyAdd(curveUpper, xb, curveLower * xa) - byU * byU, huu);
        }

        for (; i < length; i++)
            Between(ref apart, rows, i, u, v);
        var point = Point(value, gu, gv, huu, huv, hvv);
        point.Add(1, apart);
        return point;
    }

    private static void Between(ref LikelihoodPoint point, LogTimeRows rows, int i, double u, double v)
    {
        T distribution = default;
        var count = rows.BetweenCount[i];
        var xb = rows.UpperX[i];
        var width = u * rows.WidthX[i];
        if (width < NarrowWidth)
        {
            var middle = rows.LowerX[i] + rows.WidthX[i] / 2;
            var density = distribution.LogDensity(u * middle + v, out var slope, out var curvature);
            if (width * (1 + Math.Abs(slope)) < NarrowWidth)
            {
                Add(ref point, count, middle, density + Math.Log(width), slope, curvature);
                point.GradientU += count / u;
                point.HessianUU -= count / (u * u);
                return;
            }
        }

        var fromStart = double.IsNegativeInfinity(rows.LowerX[i]);
        var xa = fromStart ? 0 : rows.LowerX[i];
        var za = fromStart ? double.NegativeInfinity : u * xa + v;
        var zb = u * xb + v;
        var log = distribution.LogInterval(za, zb, width);

        // d/dz of log(F(b) - F(a)): the density at an end over the probability between the ends.
        var atUpper = Math.Exp(distribution.LogDensity(zb, out var slopeUpper, out _) - log);
        double atLower = 0, slopeLower = 0;
        if (!fromStart)
            atLower = Math.Exp(distribution.LogDensity(za, out slopeLower, out _) - log);
        if (atUpper == 0)
            slopeUpper = 0;
        if (atLower == 0)
            slopeLower = 0;
        var byV = atUpper - atLower;
        var byU = atUpper * xb - atLower * xa;
        double curveUpper = atUpper * slopeUpper, curveLower = atLower * slopeLower;
        point.Value += count * log;
        point.GradientV += count * byV;
        point.GradientU += count * byU;
        point.HessianVV += count * (curveUpper - curveLower - byV * byV);
        point.HessianUV += count * (curveUpper * xb - curveLower * xa - byV * byU);
        point.HessianUU += count * (curveUpper * xb * xb - curveLower * xa * xa - byU * byU);
    }

    private static void Add(ref LikelihoodPoint point, double count, double x, double log, double slope, double curvature)
    {
        point.Value += count * log;
        point.GradientV += count * slope;
        point.GradientU += count * slope * x;
        point.HessianVV += count * curvature;
        point.HessianUV += count * curvature * x;
        point.HessianUU += count * curvature * x * x;
    }

    private static LikelihoodPoint Point(TLanes value, TLanes gu, TLanes gv, TLanes huu, TLanes huv, TLanes hvv) => new()
    {
        Value = TLanes.Sum(value),
        GradientU = TLanes.Sum(gu),
        GradientV = TLanes.Sum(gv),
        HessianUU = TLanes.Sum(huu),
        HessianUV = TLanes.Sum(huv),
        HessianVV = TLanes.Sum(hvv),
    };
}
