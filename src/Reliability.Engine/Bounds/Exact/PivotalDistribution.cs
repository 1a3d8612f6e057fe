using Reliability.Engine.LocationScale;
using Reliability.Engine.Prediction;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Exact;

/// <summary>
/// The distribution of the pivotal quantities of a complete or failure-terminated sample given its ancillary, read as one of the
/// parameters (Lawless 2003, ch. 5 and app. E; Fisher 1934). It is likelihood times 1/sigma in (location, sigma), the right-Haar
/// posterior: du dv / u^2 in (u, v). One grid over log u, and one over v at each of its nodes.
/// </summary>
internal sealed class PivotalDistribution
{
    private const double Spacing = 0.2;

    private readonly LogTimeLikelihood _likelihood;
    private readonly (double U, double Weight, TabulatedDensity V)[] _nodes;
    private readonly TabulatedDensity _logU;

    private PivotalDistribution(LogTimeLikelihood likelihood, TabulatedDensity logU, (double U, double Weight, TabulatedDensity V)[] nodes) =>
        (_likelihood, _logU, _nodes) = (likelihood, logU, nodes);

    /// <summary>Integrates; null where there is no proper distribution.</summary>
    public static PivotalDistribution? Of(LogTimeLikelihood likelihood, Maximum maximum, CancellationToken cancellationToken)
    {
        LogDensityGrid? Given(double u) => Maximiser.MaximiseLocation(likelihood, u, cancellationToken).TryGet(out var at, out _)
            ? LogDensityGrid.Over(v => likelihood.Evaluate(u, v, cancellationToken).Value, at.V, Math.Sqrt(at.CovarianceVV), Spacing)
            : null;

        // The 1/u^2 of the measure, and u of d log u.
        var grid = LogDensityGrid.Over(
            logU => Given(Math.Exp(logU)) is { } given ? given.LogMass - logU : double.NegativeInfinity,
            Math.Log(maximum.U), Math.Sqrt(maximum.CovarianceUU) / maximum.U, Spacing);
        if (grid is null || TabulatedDensity.Of(grid) is not { } shapes)
            return null;
        var nodes = new (double U, double Weight, TabulatedDensity V)[grid.At.Length];
        for (var i = 0; i < nodes.Length; i++)
        {
            var u = Math.Exp(grid.At[i]);
            if (Given(u) is not { } given || TabulatedDensity.Of(given) is not { } density)
                return null;
            nodes[i] = (u, grid.Weights[i], density);
        }

        return new(likelihood, shapes, nodes);
    }

    /// <summary>The share of the distribution in which a quantity lies below a value, on its transformed scale.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="value">The value.</param>
    /// <param name="places">Where v was found at each node for a value nearby; filled anew.</param>
    public double Below(LifeQuantity quantity, double value, double[] places)
    {
        if (!quantity.DependsOnV)
        {
            // log u or -log u.
            var sign = quantity.Transformed(new(_likelihood.Distribution, _likelihood.Sample.Axis, Math.E, 0));
            return sign > 0 ? _logU.Below(value) : 1 - _logU.Below(-value);
        }

        double sum = 0;
        for (var i = 0; i < _nodes.Length; i++)
        {
            var (u, weight, v) = _nodes[i];
            places[i] = VAt(quantity, u, value, places[i]);

            // A life without end at any v is not below.
            if (double.IsNaN(places[i]))
                continue;
            var share = v.Below(places[i]);
            sum += weight * (quantity.RisesWithV ? share : 1 - share);
        }

        return sum;
    }

    /// <summary>Room for the places of <see cref="Below"/>.</summary>
    public double[] Places(double v)
    {
        var places = new double[_nodes.Length];
        Array.Fill(places, v);
        return places;
    }

    /// <summary>The v at which the quantity has a value for a u, by secants; NaN where none is found.</summary>
    private double VAt(LifeQuantity quantity, double u, double value, double start)
    {
        double Miss(double v) => quantity.Transformed(new(_likelihood.Distribution, _likelihood.Sample.Axis, u, v)) - value;

        var before = double.IsFinite(start) ? start : 0;
        var miss = Miss(before);
        var at = before + 1e-3 * (1 + Math.Abs(before));
        for (var i = 0; i < 80; i++)
        {
            var next = Miss(at);
            if (next == 0)
                return at;
            if (!double.IsFinite(next) || !double.IsFinite(miss))
                return double.NaN;
            if (next == miss)
                return Math.Abs(next) < 1e-9 ? at : double.NaN;
            var step = Math.Clamp(-next * (at - before) / (next - miss), -20, 20);
            (before, miss) = (at, next);
            at += step;
            if (Math.Abs(step) <= 1e-13 * (1 + Math.Abs(at)))
                return at;
        }

        return double.NaN;
    }
}
