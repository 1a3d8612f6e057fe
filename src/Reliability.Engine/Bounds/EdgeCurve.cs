namespace Reliability.Engine.Bounds;

/// <summary>
/// The edge of a likelihood region as a trigonometric polynomial radius(angle), interpolated at equal angles. The edge is
/// smooth and nearly round when many lives were fitted, so a few angles give it to rounding; then no bound needs another
/// pass over the lives.
/// </summary>
internal sealed class EdgeCurve
{
    private const int FewestAngles = 16;
    private const int MostAngles = 64;
    private readonly double[] _cosine;
    private readonly double[] _sine;

    private EdgeCurve(double[] cosine, double[] sine)
    {
        _cosine = cosine;
        _sine = sine;
    }

    /// <summary>Interpolates an edge.</summary>
    /// <param name="radiusAt">Radius at an angle; null where the region has no end.</param>
    /// <param name="tolerance">Relative size that the highest terms must stay below.</param>
    /// <returns>The curve, or null when 64 angles do not give it to the tolerance.</returns>
    public static EdgeCurve? Interpolate(Func<double, double?> radiusAt, double tolerance)
    {
        var radii = new SortedDictionary<int, double>();
        for (var angles = FewestAngles; angles <= MostAngles; angles *= 2)
        {
            var stride = MostAngles / angles;
            for (var k = 0; k < MostAngles; k += stride)
            {
                if (radii.ContainsKey(k))
                    continue;
                if (radiusAt(2 * Math.PI * k / MostAngles) is not { } radius)
                    return null;
                radii[k] = radius;
            }

            var (cosine, sine) = Transform([.. radii.Values]);
            if (IsResolved(cosine, sine, tolerance))
                return new EdgeCurve(cosine, sine);
        }

        return null;
    }

    /// <summary>Radius and its derivative by the angle.</summary>
    public (double Radius, double Slope) At(double angle)
    {
        double radius = _cosine[0], slope = 0;
        for (var k = 1; k < _cosine.Length; k++)
        {
            var (sin, cos) = Math.SinCos(k * angle);
            radius += _cosine[k] * cos + _sine[k] * sin;
            slope += k * (_sine[k] * cos - _cosine[k] * sin);
        }

        return (radius, slope);
    }

    private static (double[] Cosine, double[] Sine) Transform(double[] radii)
    {
        var half = radii.Length / 2;
        var cosine = new double[half];
        var sine = new double[half];
        for (var k = 0; k < half; k++)
        {
            for (var i = 0; i < radii.Length; i++)
            {
                var (sin, cos) = Math.SinCos(2 * Math.PI * k * i / radii.Length);
                cosine[k] += radii[i] * cos * (k == 0 ? 1 : 2) / radii.Length;
                sine[k] += radii[i] * sin * 2 / radii.Length;
            }
        }

        return (cosine, sine);
    }

    /// <summary>Whether the last quarter of the terms has died away.</summary>
    private static bool IsResolved(double[] cosine, double[] sine, double tolerance)
    {
        for (var k = 3 * cosine.Length / 4; k < cosine.Length; k++)
        {
            if (Math.Abs(cosine[k]) + Math.Abs(sine[k]) > tolerance * cosine[0])
                return false;
        }

        return true;
    }
}
