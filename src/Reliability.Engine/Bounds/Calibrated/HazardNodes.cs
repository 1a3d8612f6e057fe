using MathNet.Numerics.Integration;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Nodes for integrals over a cumulative hazard E, which is exponential whatever the distribution: Gauss-Legendre by stretches, in
/// the cube root of E from 0 on, where scores have logarithms and powers of E.
/// </summary>
internal static class HazardNodes
{
    /// <summary>What lies beyond has no weight: exp(-E) is below 1e-26 there.</summary>
    public const double Most = 60;

    private const double FromStart = 1;

    private static readonly double[] Ends = [1, 2, 4, 8, 16, Most];
    private static readonly (double At, double Weight)[] Few = Rule(3), Some = Rule(8), Many = Rule(16), Cubed = Rule(24);

    /// <summary>Nodes and weights between two hazards.</summary>
    public static IEnumerable<(double At, double Weight)> Between(double from, double to)
    {
        while (from < to)
        {
            var start = from;
            var end = Math.Min(to, Array.Find(Ends, at => at > start));
            if (from == 0)
            {
                foreach (var (s, weight) in Cubed)
                    yield return (end * s * s * s, 3 * end * s * s * weight);
            }
            else
            {
                var width = end - from;
                foreach (var (s, weight) in width < 0.02 * from ? Few : width < 0.2 * (from + FromStart) ? Some : Many)
                    yield return (from + width * s, width * weight);
            }

            from = end;
        }
    }

    private static (double At, double Weight)[] Rule(int order)
    {
        var rule = new GaussLegendreRule(0, 1, order);
        return [.. rule.Abscissas.Zip(rule.Weights)];
    }
}
