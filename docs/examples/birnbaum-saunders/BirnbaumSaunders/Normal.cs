using MathNet.Numerics;

namespace BirnbaumSaunders;

/// <summary>The standard normal with all digits in both tails.</summary>
internal static class Normal
{
    private const int Terms = 80;

    public static double LogDensity(double z) => -z * z / 2 - Math.Log(2 * Math.PI) / 2;

    /// <summary>log of 1 - Phi(z). Far out by the continued fraction of Laplace, where the error function is 0 to a computer.</summary>
    public static double LogSurvival(double z)
    {
        if (z < 0)
            return Log1p(-SpecialFunctions.Erfc(-z / Math.Sqrt(2)) / 2);
        if (z < 6)
            return Math.Log(SpecialFunctions.Erfc(z / Math.Sqrt(2)) / 2);
        if (double.IsPositiveInfinity(z * z))
            return double.NegativeInfinity;
        var tail = z;
        for (var k = Terms; k > 0; k--)
            tail = z + k / tail;
        return LogDensity(z) - Math.Log(tail);
    }

    public static double Quantile(double fraction) => fraction < 0.5 ? -Upper(fraction) : Upper(1 - fraction);

    public static double Fraction(double z) => SpecialFunctions.Erfc(-z / Math.Sqrt(2)) / 2;

    private static double Upper(double fraction) => Math.Sqrt(2) * SpecialFunctions.ErfcInv(2 * fraction);

    private static double Log1p(double x)
    {
        var u = 1 + x;
        return u == 1 ? x : Math.Log(u) * x / (u - 1);
    }
}
