using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Bounds at which r* is the normal quantile of the level on either side.</summary>
internal sealed class CalibratedBounds(LogTimeLikelihood likelihood, ParameterSpace space, CensoringPlan? plan, double level)
    : IQuantityBounds
{
    private const int Steps = 60;

    private readonly double _normal = -default(StandardNormal).Quantile((1 - level) / 2);

    public (double? Lower, double? Upper) Of(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        var error = space.StandardError(quantity);
        return (Bound(quantity, error, -1, cancellationToken), Bound(quantity, error, 1, cancellationToken));
    }

    /// <summary>The first place outward from the estimate where r* reaches the level, on one side.</summary>
    private double? Bound(LifeQuantity quantity, double error, int side, CancellationToken cancellationToken)
    {
        var root = new AdjustedRoot(likelihood, space.Maximum, quantity, plan);
        double inner = root.Estimate, innerMiss = double.NaN;
        var step = error * Math.Max(_normal, 0.2) / 2;
        for (var i = 0; i < Steps; i++, step *= i > 4 ? 1.5 : 1)
        {
            var outer = inner + side * step;
            if (root.At(outer, cancellationToken) is not { } value)
                return null;
            var miss = -side * value - _normal;
            if (double.IsNaN(value))
            {
                inner = outer;
                continue;
            }

            if (miss >= 0)
                return Between(root, double.IsNaN(innerMiss) ? root.Estimate : inner, innerMiss, outer, miss, side, cancellationToken);
            (inner, innerMiss) = (outer, miss);
        }

        return null;
    }

    private double? Between(
        AdjustedRoot root, double inner, double innerMiss, double outer, double outerMiss, int side,
        CancellationToken cancellationToken)
    {
        // Illinois' form of the false position: an end that stays a second time counts half.
        if (double.IsNaN(innerMiss))
            innerMiss = -_normal;
        var before = 0;
        for (var i = 0; i < Steps; i++)
        {
            var at = (inner * outerMiss - outer * innerMiss) / (outerMiss - innerMiss);
            if (root.At(at, cancellationToken) is not { } value)
                return null;
            if (double.IsNaN(value))
                value = 0;
            var miss = -side * value - _normal;
            if (Math.Abs(miss) < 1e-9 || Math.Abs(outer - inner) < 1e-11 * (1 + Math.Abs(outer)))
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
