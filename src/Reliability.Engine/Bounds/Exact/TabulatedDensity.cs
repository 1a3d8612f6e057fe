using Reliability.Engine.Prediction;

namespace Reliability.Engine.Bounds.Exact;

/// <summary>
/// A density at equally spaced nodes as a distribution function anywhere: between nodes its logarithm, which is smooth, is a polynomial
/// through the eight nearest, and is integrated by Gauss and Legendre's rule.
/// </summary>
internal sealed class TabulatedDensity
{
    private const int Stencil = 8;

    // Five points on (0, 1): (1 + x) / 2 and half the weights of the rule on (-1, 1) (Abramowitz and Stegun 1964, table 25.4).
    private static readonly (double At, double Weight)[] Rule =
    [
        (0.04691007703066800, 0.11846344252809454), (0.23076534494715845, 0.23931433524968324), (0.5, 0.28444444444444444),
        (0.76923465505284155, 0.23931433524968324), (0.95308992296933200, 0.11846344252809454),
    ];

    private readonly double _start, _step;
    private readonly double[] _logs;
    private readonly double[] _below;

    private TabulatedDensity(double start, double step, double[] logs)
    {
        (_start, _step, _logs) = (start, step, logs);
        _below = new double[logs.Length];
        for (var i = 1; i < logs.Length; i++)
            _below[i] = _below[i - 1] + Mass(i - 1, 1);
    }

    /// <summary>Tabulates; null where the nodes are too few.</summary>
    public static TabulatedDensity? Of(LogDensityGrid grid) => grid.At.Length < Stencil
        ? null
        : new(grid.At[0], (grid.At[^1] - grid.At[0]) / (grid.At.Length - 1), Array.ConvertAll(grid.Weights, Math.Log));

    /// <summary>The share of the density below a position.</summary>
    public double Below(double at)
    {
        var place = (at - _start) / _step;
        if (!(place > 0))
            return 0;
        if (place >= _logs.Length - 1)
            return 1;
        var node = (int)place;
        return (_below[node] + Mass(node, place - node)) / _below[^1];
    }

    /// <summary>The mass from a node over a part of the step to the next.</summary>
    private double Mass(int node, double part)
    {
        double sum = 0;
        foreach (var (at, weight) in Rule)
            sum += weight * Math.Exp(Log(node, at * part));
        return sum * part;
    }

    /// <summary>The logarithm a part of a step beyond a node, by Lagrange's polynomial.</summary>
    private double Log(int node, double part)
    {
        var first = Math.Clamp(node - (Stencil / 2 - 1), 0, _logs.Length - Stencil);
        var x = node + part - first;
        double sum = 0;
        for (var i = 0; i < Stencil; i++)
        {
            var basis = 1.0;
            for (var j = 0; j < Stencil; j++)
            {
                if (j != i)
                    basis *= (x - j) / (i - j);
            }

            sum += basis * _logs[first + i];
        }

        return sum;
    }
}
