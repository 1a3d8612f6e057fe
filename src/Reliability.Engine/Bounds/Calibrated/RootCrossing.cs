namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Where r* takes a value.</summary>
internal static class RootCrossing
{
    private const int Steps = 60;
    private const double Settled = 1e-9;

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
        double inner = root.Estimate, innerMiss = double.NaN;
        var step = root.Error * Math.Max(normal, 0.2) / 2;
        for (var i = 0; i < Steps; i++, step *= i > 4 ? 1.5 : 1)
        {
            var outer = inner + side * step;
            if (Miss(outer) is not { } miss || !double.IsFinite(miss))
                return null;
            if (miss < 0)
            {
                (inner, innerMiss) = (outer, miss);
                continue;
            }

            if (double.IsNaN(innerMiss))
            {
                if (Miss(inner) is not { } atEstimate)
                    return null;
                if (atEstimate >= 0)
                    return root.Estimate;
                innerMiss = atEstimate;
            }

            return Between(Miss, inner, innerMiss, outer, miss);
        }

        return null;
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

    private static double? Between(Func<double, double?> misses, double inner, double innerMiss, double outer, double outerMiss)
    {
        // Illinois' form of the false position: an end that stays a second time counts half.
        var before = 0;
        for (var i = 0; i < Steps; i++)
        {
            var at = (inner * outerMiss - outer * innerMiss) / (outerMiss - innerMiss);
            if (misses(at) is not { } miss || !double.IsFinite(miss))
                return null;
            if (Math.Abs(miss) < Settled || Math.Abs(outer - inner) < 1e-11 * (1 + Math.Abs(outer)))
                return at;
            if (miss >= 0)
            {
                (outer, outerMiss) = (at, miss);
                if (before > 0)
                    innerMiss /= 2;
                before = 1;
            }
            else
            {
                (inner, innerMiss) = (at, miss);
                if (before < 0)
                    outerMiss /= 2;
                before = -1;
            }
        }

        return (inner + outer) / 2;
    }
}
