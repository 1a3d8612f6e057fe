namespace Reliability.Engine.Conformance;

/// <summary>log(1 + x) and exp(x) - 1 with all digits near 0 (Kahan's way, from memory).</summary>
internal static class Tails
{
    public static double Log1p(double x)
    {
        var u = 1 + x;
        return u == 1 ? x : Math.Log(u) * x / (u - 1);
    }

    public static double Expm1(double x)
    {
        if (Math.Abs(x) > 0.5)
            return Math.Exp(x) - 1;
        var u = Math.Exp(x);
        return u == 1 ? x : (u - 1) * x / Math.Log(u);
    }

    /// <summary>Cumulative hazard -log(1 - p) of a failed fraction.</summary>
    public static double Hazard(double fraction) => -Log1p(-fraction);

    /// <summary>Failed fraction at a cumulative hazard.</summary>
    public static double Fraction(double hazard) => -Expm1(-hazard);
}
