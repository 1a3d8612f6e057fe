namespace Reliability.Engine.SpecialFunctions;

/// <summary>
/// log(1 + x), exp(x) - 1 and log(1 - exp(x)) that keep their digits near 0. (The base library's LogP1 and ExpM1 do not:
/// they add or subtract 1.) Kahan's correction, as in Higham, Accuracy and Stability of Numerical Algorithms (2002), 1.14.
/// </summary>
internal static class NearZero
{
    private const double LogHalf = -0.69314718055994530942;

    /// <summary>log(1 + x) for x &gt; -1.</summary>
    public static double Log1p(double x)
    {
        var u = 1 + x;
        if (u == 1)
            return x;
        return double.IsInfinity(u) ? u : Math.Log(u) * (x / (u - 1));
    }

    /// <summary>exp(x) - 1.</summary>
    public static double Expm1(double x)
    {
        if (Math.Abs(x) > 1)
            return Math.Exp(x) - 1;
        var u = Math.Exp(x);
        if (u == 1)
            return x;
        return (u - 1) * (x / Math.Log(u));
    }

    /// <summary>log(1 - exp(x)) for x &lt;= 0.</summary>
    public static double Log1mExp(double x) => x > LogHalf ? Math.Log(-Expm1(x)) : Log1p(-Math.Exp(x));
}
