namespace Reliability.Engine.Conformance;

/// <summary>Gauss-Legendre quadrature on sixteen nodes a panel.</summary>
internal static class GaussLegendre
{
    private const int Size = 16;

    private static readonly (double Node, double Weight)[] Rule = Make();

    /// <summary>Integrals of a function over the panels between break points; the function gets all nodes at once.</summary>
    public static double[] Panels(IReadOnlyList<double> breaks, Func<double[], double[]> function)
    {
        var nodes = new double[(breaks.Count - 1) * Size];
        for (var i = 0; i + 1 < breaks.Count; i++)
        {
            for (var k = 0; k < Size; k++)
                nodes[i * Size + k] = breaks[i] + (breaks[i + 1] - breaks[i]) * (1 + Rule[k].Node) / 2;
        }

        var values = function(nodes);
        var panels = new double[breaks.Count - 1];
        for (var i = 0; i < panels.Length; i++)
        {
            for (var k = 0; k < Size; k++)
                panels[i] += Rule[k].Weight * values[i * Size + k] * (breaks[i + 1] - breaks[i]) / 2;
        }

        return panels;
    }

    private static (double Node, double Weight)[] Make()
    {
        var rule = new (double, double)[Size];
        for (var k = 0; k < Size; k++)
        {
            // Newton's method on the Legendre polynomial from Tricomi's guess.
            var x = Math.Cos(Math.PI * (k + 0.75) / (Size + 0.5));
            var slope = 1.0;
            for (var step = 0; step < 20; step++)
            {
                double value = 1, before = 0;
                for (var n = 1; n <= Size; n++)
                    (value, before) = (((2 * n - 1) * x * value - (n - 1) * before) / n, value);
                slope = Size * (x * value - before) / (x * x - 1);
                x -= value / slope;
            }

            rule[k] = (x, 2 / ((1 - x * x) * slope * slope));
        }

        return rule;
    }
}
