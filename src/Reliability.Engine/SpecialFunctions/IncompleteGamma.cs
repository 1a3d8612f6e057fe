namespace Reliability.Engine.SpecialFunctions;

/// <summary>The incomplete gamma functions on the log scale, where the plain ones underflow (Abramowitz and Stegun 6.5.29, 6.5.31).</summary>
internal static class IncompleteGamma
{
    private const int MostTerms = 20_000;

    /// <summary>log of the integral of s^(a-1) e^-s from x to infinity, a &gt; 0, x &gt;= 0.</summary>
    public static double LogUpper(double a, double x) => LogUpperTimesExp(a, x) - x;

    /// <summary>The same times e^x, which stays within range for any x.</summary>
    public static double LogUpperTimesExp(double a, double x)
    {
        var logGamma = MathNet.Numerics.SpecialFunctions.GammaLn(a);
        if (x <= 0)
            return logGamma;
        if (!IsLower(a, x))
            return a * Math.Log(x) + LogFraction(a, x);
        var logLower = LogSeries(a, x) + a * Math.Log(x) - x - logGamma;
        return logGamma + NearZero.Log1mExp(Math.Min(logLower, 0)) + x;
    }

    /// <summary>Whether the series serves; else the continued fraction.</summary>
    public static bool IsLower(double a, double x) => x < a + 1;

    /// <summary>log of the lower function over x^a e^-x, by its series.</summary>
    public static double LogSeries(double a, double x)
    {
        var term = 1 / a;
        var sum = term;
        for (var k = 1; k < MostTerms && term > sum * 1e-17; k++)
        {
            term *= x / (a + k);
            sum += term;
        }

        return Math.Log(sum);
    }

    /// <summary>log of the upper function over x^a e^-x: 1/(x+1-a- 1(1-a)/(x+3-a- ...)) by the modified method of Lentz.</summary>
    public static double LogFraction(double a, double x)
    {
        var b = x + 1 - a;
        var c = 1e300;
        var d = 1 / b;
        var fraction = d;
        for (var k = 1; k < MostTerms; k++)
        {
            var coefficient = -k * (k - a);
            b += 2;
            d = 1 / (coefficient * d + b);
            c = b + coefficient / c;
            var factor = c * d;
            fraction *= factor;
            if (Math.Abs(factor - 1) < 1e-16)
                break;
        }

        return Math.Log(fraction);
    }
}
