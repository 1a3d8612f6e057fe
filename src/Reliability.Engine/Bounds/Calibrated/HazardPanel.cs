using MathNet.Numerics.Integration;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// A stretch of cumulative hazard E, which is exponential whatever the distribution, with the Gauss nodes at which scores are taken: in
/// the cube root of E from 0 on, where scores have logarithms and powers of E.
/// </summary>
/// <remarks>
/// Lives are watched and stopped in steps, at places that lie between the nodes. As scores are smooth, a weight anywhere in a panel is
/// laid on its nodes by the polynomial through them (barycentric form: Berrut and Trefethen 2004), so that what a sum over the nodes
/// costs does not grow with the steps.
/// </remarks>
internal sealed class HazardPanel
{
    /// <summary>What lies beyond has no weight: exp(-E) is below 1e-26 there.</summary>
    public const double Most = 60;

    private static readonly (double At, double Weight)[] Few = Rule(3), Some = Rule(8), Many = Rule(16);

    private readonly bool _isFirst;
    private readonly double[] _places;
    private readonly double[] _weights;
    private readonly double[] _barycentric;

    private HazardPanel(double from, double to, int order)
    {
        (From, To, _isFirst) = (from, to, from == 0);
        var rule = Rule(order);
        _places = Array.ConvertAll(rule, node => node.At);
        _weights = Array.ConvertAll(rule, node => node.Weight);

        // Of Legendre nodes x on [-1, 1] with weights w: (-1)^j sqrt((1 - x^2) w); 1 - x^2 is 4 s (1 - s).
        _barycentric = [.. rule.Select((node, j) => (j % 2 == 0 ? 1 : -1) * Math.Sqrt(node.At * (1 - node.At) * node.Weight))];
        Nodes = Array.ConvertAll(_places, HazardAt);
    }

    /// <summary>The panels from 0 to <see cref="Most"/>.</summary>
    public static IReadOnlyList<HazardPanel> All { get; } =
        [new(0, 1, 24), new(1, 2, 12), new(2, 4, 16), new(4, 8, 16), new(8, 16, 12), new(16, Most, 12)];

    /// <summary>Where the panel begins.</summary>
    public double From { get; }

    /// <summary>Where it ends.</summary>
    public double To { get; }

    /// <summary>The hazards of its nodes, rising.</summary>
    public double[] Nodes { get; }

    /// <summary>Adds to weights of the nodes so that they integrate exp(-E) times a function between two hazards of the panel.</summary>
    public void AddStretch(double from, double to, double[] weights)
    {
        if (from == From && to == To)
        {
            for (var j = 0; j < Nodes.Length; j++)
                weights[j] += _weights[j] * Growth(_places[j]) * Math.Exp(-Nodes[j]);
            return;
        }

        double start = PlaceOf(from), width = PlaceOf(to) - start;
        foreach (var (at, weight) in width < 0.02 ? Few : width < 0.2 ? Some : Many)
        {
            var place = start + width * at;
            var mass = width * weight * Growth(place) * Math.Exp(-HazardAt(place));

            // Times the place squared scores are smooth enough at 0 to be laid on the nodes.
            Lay(place, _isFirst ? mass / (place * place) : mass, weights, isSquared: _isFirst);
        }
    }

    /// <summary>Adds to weights of the nodes so that they take a function at a hazard of the panel that vanishes at 0.</summary>
    public void AddPoint(double hazard, double weight, double[] weights) => Lay(PlaceOf(hazard), weight, weights, isSquared: false);

    private void Lay(double place, double weight, double[] weights, bool isSquared)
    {
        double sum = 0;
        for (var j = 0; j < _places.Length; j++)
        {
            if (place == _places[j])
            {
                weights[j] += weight * Square(j);
                return;
            }

            sum += _barycentric[j] / (place - _places[j]);
        }

        for (var j = 0; j < _places.Length; j++)
            weights[j] += weight * Square(j) * (_barycentric[j] / (place - _places[j]) / sum);

        double Square(int j) => isSquared ? _places[j] * _places[j] : 1;
    }

    private double HazardAt(double place) => _isFirst ? To * place * place * place : From + (To - From) * place;

    private double PlaceOf(double hazard) => _isFirst ? Math.Cbrt(hazard / To) : (hazard - From) / (To - From);

    private double Growth(double place) => _isFirst ? 3 * To * place * place : To - From;

    private static (double At, double Weight)[] Rule(int order)
    {
        var rule = new GaussLegendreRule(0, 1, order);
        return [.. rule.Abscissas.Zip(rule.Weights).OrderBy(node => node.First)];
    }
}
