using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>The parameters (log u, v) at which a quantity has a value, as v over log u, and the highest likelihood on it.</summary>
internal sealed class ConstraintPath(LogTimeLikelihood likelihood, LifeQuantity quantity)
{
    private const double Step = 5e-3;
    private const double Settled = 1e-9;
    private const int Iterations = 100;

    private readonly IStandardDistribution _distribution = likelihood.Distribution;
    private readonly LogTimeAxis _axis = likelihood.Sample.Axis;

    /// <summary>The quantity, on the scale of its bounds.</summary>
    public double Psi(double u, double v) => quantity.Transformed(new LogTimeLife(_distribution, _axis, u, v));

    /// <summary>The gradient of the quantity by (log u, v).</summary>
    public (double LogU, double V) Gradient(double u, double v) =>
        (First(h => Psi(u * Math.Exp(h), v)), quantity.DependsOnV ? First(h => Psi(u, v + h)) : 0);

    /// <summary>The constrained fit; null where none is found.</summary>
    /// <param name="psi">The value of the quantity.</param>
    /// <param name="from">Where to begin: a fit at a value nearby, or the estimate.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public ConstrainedFit? At(double psi, (double U, double V) from, CancellationToken cancellationToken) =>
        quantity.DependsOnV ? AlongV(psi, from, cancellationToken) : AtU(psi, cancellationToken);

    /// <summary>The one v that gives the quantity its value where u is held.</summary>
    public ConstrainedFit? AtHeldU(double psi, double u, double from, CancellationToken cancellationToken)
    {
        var v = VAt(Math.Log(u), psi, from);
        var point = likelihood.Evaluate(u, v, cancellationToken);
        return point.IsFinite ? new ConstrainedFit(u, v, point.Value, 1, 0, point.GradientV) : null;
    }

    private ConstrainedFit? AtU(double psi, CancellationToken cancellationToken)
    {
        // log u or -log u.
        var sign = Psi(Math.E, 0);
        var u = Math.Exp(sign * psi);
        return Maximiser.MaximiseLocation(likelihood, u, cancellationToken).TryGet(out var maximum, out _)
            ? new ConstrainedFit(u, maximum.V, maximum.Value, 1 / maximum.CovarianceVV, double.NaN, 0)
            : null;
    }

    private ConstrainedFit? AlongV(double psi, (double U, double V) from, CancellationToken cancellationToken)
    {
        var x = Math.Log(from.U);
        var v = VAt(x, psi, from.V);
        var point = likelihood.Evaluate(Math.Exp(x), v, cancellationToken);
        for (var i = 0; i < Iterations && point.IsFinite; i++)
        {
            var u = Math.Exp(x);
            var (slope, curvature) = Derivatives(x, psi, v);
            var gradient = u * point.GradientU + point.GradientV * slope;
            var second = u * point.GradientU + u * u * point.HessianUU + 2 * u * point.HessianUV * slope
                + point.HessianVV * slope * slope + point.GradientV * curvature;
            if (!double.IsFinite(gradient) || !double.IsFinite(second))
                return null;
            if (second < 0 && Math.Abs(gradient) < Settled * Math.Sqrt(-second))
                return new ConstrainedFit(u, v, point.Value, -second, slope, point.GradientV);
            var step = second < 0 ? Math.Clamp(-gradient / second, -0.5, 0.5) : 0.2 * Math.Sign(gradient);
            var improved = false;
            for (var halvings = 0; halvings < 40 && !improved; halvings++, step /= 2)
            {
                var nextV = VAt(x + step, psi, v + slope * step);
                var next = likelihood.Evaluate(Math.Exp(x + step), nextV, cancellationToken);
                if (!next.IsFinite || next.Value < point.Value - 1e-12 * Math.Abs(point.Value))
                    continue;
                (x, v, point, improved) = (x + step, nextV, next, true);
            }

            if (!improved)
                return second < 0 && Math.Abs(gradient) < 1e-5 * Math.Sqrt(-second)
                    ? new ConstrainedFit(u, v, point.Value, -second, slope, point.GradientV)
                    : null;
        }

        return null;
    }

    private (double Slope, double Curvature) Derivatives(double x, double psi, double v)
    {
        double At(double h) => VAt(x + h, psi, v);
        double further = At(2 * Step), after = At(Step), before = At(-Step), earlier = At(-2 * Step);
        return (
            (8 * (after - before) - (further - earlier)) / (12 * Step),
            (16 * (after + before) - (further + earlier) - 30 * v) / (12 * Step * Step));
    }

    /// <summary>The v at which the quantity has its value for log u = x, by secants; most quantities are nearly straight in v.</summary>
    private double VAt(double x, double psi, double start)
    {
        var u = Math.Exp(x);
        double before = start, miss = Psi(u, before) - psi;
        if (miss == 0)
            return before;
        var v = before + 1e-3 * (1 + Math.Abs(before));
        for (var i = 0; i < 60; i++)
        {
            var next = Psi(u, v) - psi;
            if (next == 0 || !double.IsFinite(next) || next == miss)
                return v;
            var step = -next * (v - before) / (next - miss);
            (before, miss) = (v, next);
            v += step;
            if (Math.Abs(step) <= 1e-15 * (1 + Math.Abs(v)))
                return v;
        }

        return v;
    }

    private static double First(Func<double, double> f) =>
        (8 * (f(Step) - f(-Step)) - (f(2 * Step) - f(-2 * Step))) / (12 * Step);
}
