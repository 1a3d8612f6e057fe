namespace Reliability.Engine.SpecialFunctions;

/// <summary>The upper incomplete gamma function on the log scale, where the plain one underflows.</summary>
internal static class IncompleteGamma
{
    private const int MaximumTerms = 10_000;

    /// <summary>
    /// log of the integral of s^(a-1) e^-s from x to infinity, a &gt; 0, x &gt;= 0. Series below x = a + 1, continued
    /// fraction above (Abramowitz and Stegun 6.5.29 and 6.5.31).
    /// </summary>
    public static double LogUpper(double a, double x) => LogUpperTimesExp(a, x) - x;

    /// <summary>The same times e^x, which stays within range for any x.</summary>
    public static double LogUpperTimesExp(double a, double x)
    {
        var logGamma = MathNet.Numerics.SpecialFunctions.GammaLn(a);
        if (x <= 0)
            return logGamma;
        if (x < a + 1)
        {
            var term = 1 / a;
            var sum = term;
            for (var k = 1; k < MaximumTerms && term > sum * 1e-17; k++)
            {
                term *= x / (a + k);
                sum += term;
            }

            var logLower = Math.Log(sum) + a * Math.Log(x) - x - logGamma;
            return logGamma + NearZero.Log1mExp(Math.Min(logLower, 0)) + x;
        }

        // Modified Lentz evaluation of 1/(x+1-a- 1(1-a)/(x+3-a- ...)).
        var b = x + 1 - a;
        var c = 1e300;
        var d = 1 / b;
        var fraction = d;
        for (var k = 1; k < MaximumTerms; k++)
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

        return a * Math.Log(x) + Math.Log(fraction);
    }
}
