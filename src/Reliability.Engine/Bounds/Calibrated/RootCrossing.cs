namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Where r* takes a value.</summary>
internal static class RootCrossing
{
    private const int Steps = 60;
    private const double Settled = 1e-9, NearlySettled = 1e-6;

    /// <summary>
    /// The first place outward from the estimate where r* has reached a normal quantile, on one side. Where r* has passed it at the
    /// estimate already (small samples, low levels) the bound is the estimate: bounds hold it.
    /// </summary>
    /// <param name="root">r* of a quantity.</param>
    /// <param name="normal">The quantile, 0 or more.</param>
    /// <param name="side">-1 below the estimate, +1 above.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The place, or null where r* does not exist on the way or never reaches it.</returns>
    public static double? Outward(AdjustedRoot root, double normal, int side, CancellationToken cancellationToken)
    {
        double? Miss(double at) => -side * root.At(at, cancellationToken) - normal;

        if (!double.IsFinite(root.Estimate) || !(root.Error > 0) || !double.IsFinite(root.Error))
            return null;

        // What r* is at the estimate itself is asked for at low levels only; else it is small against the quantile.
        double inner = root.Estimate, innerMiss = -normal, farthest = root.Error * Math.Max(normal, 0.2);
        var step = 0.8 * farthest;
        for (var i = 0; i < Steps; i++)
        {
            var outer = inner + side * step;
            if (Miss(outer) is not { } miss || !double.IsFinite(miss))
                return null;
            if (miss >= 0 && i == 0 && normal < 1)
            {
                if (Miss(inner) is not { } atEstimate)
                    return null;
                if (atEstimate >= 0)
                    return root.Estimate;
                innerMiss = atEstimate;
            }

            if (miss >= 0)
                return Between(Miss, inner, innerMiss, outer, miss);
            var ahead = miss > innerMiss ? -1.1 * miss * step / (miss - innerMiss) : farthest;
            (inner, innerMiss) = (outer, miss);
            if (i > 4)
                farthest *= 1.5;
            step = Math.Clamp(ahead, 0.05 * farthest, farthest);
        }

        return null;
    }

    /// <summary>
    /// A likelihood-ratio bound moved by one step of Newton's method towards where r* takes the quantile. What r* adds is of the order of
    /// 1 over the root of the failures, and what one step leaves is its square.
    /// </summary>
    public static double? Moved(AdjustedRoot root, double? bound, double normal, int side, CancellationToken cancellationToken)
    {
        if (bound is not { } at || !double.IsFinite(root.Estimate) || !double.IsFinite(root.Error) || root.At(at, cancellationToken) is not { } there)
            return bound;
        var moved = at + (there + side * normal) * (at - root.Estimate) / (side * normal);
        return double.IsFinite(moved) && side * (moved - root.Estimate) > 0 ? moved : bound;
    }

    /// <summary>Where r* is 0: a value too great as often as too small, as nearly as r* is normal.</summary>
    public static double? Middle(AdjustedRoot root, CancellationToken cancellationToken)
    {
        double? At(double at) => root.At(at, cancellationToken);

        if (!double.IsFinite(root.Estimate) || !(root.Error > 0) || !double.IsFinite(root.Error)
            || At(root.Estimate) is not { } atEstimate || !double.IsFinite(atEstimate))
            return null;
        if (Math.Abs(atEstimate) < Settled)
            return root.Estimate;
        var side = Math.Sign(atEstimate);
        double inner = root.Estimate, innerMiss = -Math.Abs(atEstimate);
        for (var i = 0; i < Steps; i++)
        {
            var outer = inner + side * root.Error * Math.Max(Math.Abs(innerMiss), 1e-3) * 1.2;
            if (-side * At(outer) is not { } miss || !double.IsFinite(miss))
                return null;
            if (miss >= 0)
                return Between(at => -side * At(at), inner, innerMiss, outer, miss);
            (inner, innerMiss) = (outer, miss);
        }

        return null;
    }

    /// <summary>By secants that stay between two ends of different sign; bisection where they do not, or take long.</summary>
    private static double? Between(Func<double, double?> misses, double inner, double innerMiss, double outer, double outerMiss)
    {
        var ((before, beforeMiss), (last, lastMiss)) = ((inner, innerMiss), (outer, outerMiss));
        for (var i = 0; i < Steps; i++)
        {
            var at = last - lastMiss * (last - before) / (lastMiss - beforeMiss);
            if (!((at - inner) * (at - outer) < 0) || i % 8 == 7)
                at = (inner + outer) / 2;
            if (misses(at) is not { } miss || !double.IsFinite(miss))
                return null;
            ((before, beforeMiss), (last, lastMiss)) = ((last, lastMiss), (at, miss));
            if (Math.Abs(miss) < Settled || Math.Abs(outer - inner) < 1e-11 * (1 + Math.Abs(outer)))
                return at;
            if (miss >= 0)
                outer = at;
            else
                inner = at;

            // Another secant from so near leaves less than is asked for; there is no need to look.
            var next = last - lastMiss * (last - before) / (lastMiss - beforeMiss);
            if (Math.Abs(miss) < NearlySettled && Math.Abs(beforeMiss) < 1e-2 && (next - inner) * (next - outer) < 0)
                return next;
        }

        return (inner + outer) / 2;
    }
}
