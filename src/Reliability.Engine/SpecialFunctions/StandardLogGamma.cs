namespace Reliability.Engine.SpecialFunctions;

/// <summary>
/// The standard log-gamma error W of the generalized gamma distribution, log T = mu + sigma W: with k = 1/q^2,
/// k exp(q W) is gamma with shape k (Prentice, Biometrika 61 (1974) 539-544; Lawless 2003, 1.3, from memory). At q = 0 it is
/// standard normal, at q = 1 standard smallest extreme value; -W belongs to -q. Written so that nothing cancels near q = 0.
/// </summary>
internal static class StandardLogGamma
{
    private const double LogSqrtTwoPi = 0.91893853320467274178;
    private const double SqrtTwoPi = 2.50662827463100050242;
    private const double SqrtHalf = 0.70710678118654752440;

    // From this k on the uniform expansion is exact to 1e-13; below, series and continued fraction need few terms.
    private const double LargeShape = 2000, GreatestEta = 0.4;

    /// <summary>log of the density at w.</summary>
    public static double LogDensity(double w, double q)
    {
        var k = 1 / (q * q);
        return -LogSqrtTwoPi - (double.IsInfinity(k) ? 0 : StirlingRemainder(k)) - w * w * Excess(q * w);
    }

    /// <summary>log of the upper tail at w.</summary>
    public static double LogSurvival(double w, double q) => q < 0 ? LogTails(-w, -q).Failed : LogTails(w, q).Survived;

    /// <summary>log of the lower tail at w.</summary>
    public static double LogFailed(double w, double q) => q < 0 ? LogTails(-w, -q).Survived : LogTails(w, q).Failed;

    /// <summary>The w below which a fraction lies, by Newton's method on the log of the smaller tail, kept in a bracket.</summary>
    public static double Quantile(double fraction, double q)
    {
        var isLower = fraction <= 0.5;
        var target = isLower ? Math.Log(fraction) : NearZero.Log1p(-fraction);
        double low = double.NegativeInfinity, high = double.PositiveInfinity;
        var w = MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, fraction);
        for (var i = 0; i < 200; i++)
        {
            var tail = isLower ? LogFailed(w, q) : LogSurvival(w, q);
            var miss = isLower ? tail - target : target - tail;
            if (miss > 0)
                high = w;
            else
                low = w;
            var step = -miss / Math.Exp(LogDensity(w, q) - tail);
            if (Math.Abs(step) <= 1e-15 * (1 + Math.Abs(w)))
                return w + step;
            var next = w + step;
            if (!(next > low && next < high))
            {
                next = double.IsInfinity(low) ? Math.Min(2 * w, w - 2)
                    : double.IsInfinity(high) ? Math.Max(2 * w, w + 2)
                    : (low + high) / 2;
            }

            if (next == w)
                break;
            w = next;
        }

        return w;
    }

    /// <summary>log Gamma(k) - (k - 1/2) log k + k - log sqrt(2 pi) (Abramowitz and Stegun 6.1.41).</summary>
    private static double StirlingRemainder(double k)
    {
        if (k < 10)
            return MathNet.Numerics.SpecialFunctions.GammaLn(k) - (k - 0.5) * Math.Log(k) + k - LogSqrtTwoPi;
        var square = 1 / (k * k);
        return (1.0 / 12 - square * (1.0 / 360 - square * (1.0 / 1260 - square * (1.0 / 1680 - square * (1.0 / 1188
            - square * 691.0 / 360360))))) / k;
    }

    /// <summary>(exp(x) - 1 - x) / x^2.</summary>
    private static double Excess(double x)
    {
        if (Math.Abs(x) > 0.3)
            return (Math.Exp(x) - 1 - x) / (x * x);
        double term = 0.5, sum = 0.5;
        for (var n = 3; n < 20; n++)
        {
            term *= x / n;
            sum += term;
        }

        return sum;
    }

    /// <summary>Both tails for q &gt;= 0.</summary>
    private static (double Failed, double Survived) LogTails(double w, double q)
    {
        var k = 1 / (q * q);
        var zeta = w * Math.Sqrt(2 * Excess(q * w));
        return k > LargeShape && Math.Abs(zeta * q) < GreatestEta ? Uniform(zeta, q) : Incomplete(w, q, k);
    }

    /// <summary>Temme's uniform expansion of the incomplete gamma functions (DLMF 8.12), whose leading term is the normal.</summary>
    private static (double Failed, double Survived) Uniform(double zeta, double q)
    {
        var remainder = q * Correction(zeta * q, q * q) / SqrtTwoPi;
        if (zeta >= 0)
        {
            var survived = -zeta * zeta / 2 + Math.Log(0.5 * ScaledErfc.At(zeta * SqrtHalf) + remainder);
            return (NearZero.Log1mExp(Math.Min(survived, 0)), survived);
        }

        var failed = -zeta * zeta / 2 + Math.Log(0.5 * ScaledErfc.At(-zeta * SqrtHalf) - remainder);
        return (failed, NearZero.Log1mExp(Math.Min(failed, 0)));
    }

    /// <summary>c0 + c1 / k + c2 / k^2 of the expansion at a small eta.</summary>
    private static double Correction(double eta, double oneOverK)
    {
        var c0 = Polynomial(eta, [
            -1.0 / 3, 1.0 / 12, -2.0 / 135, 1.0 / 864, 1.0 / 2835, -139.0 / 777600, 1.0 / 25515,
            -571.0 / 261273600, -281.0 / 151559100, 0.8296711340953086e-6, -0.17665952736826079e-6,
        ]);
        var c1 = Polynomial(eta, [
            -1.0 / 540, -1.0 / 288, 1.0 / 378, -77.0 / 77760, 0.00020576131687242798, -0.40187757201646091e-6,
            -0.18098550334489978e-4, 0.76491609160811101e-5,
        ]);
        var c2 = Polynomial(eta, [25.0 / 6048, -139.0 / 51840, 1.0 / 1296]);
        return c0 + oneOverK * (c1 + oneOverK * c2);
    }

    private static double Polynomial(double x, ReadOnlySpan<double> coefficients)
    {
        double sum = 0;
        for (var i = coefficients.Length - 1; i >= 0; i--)
            sum = sum * x + coefficients[i];
        return sum;
    }

    /// <summary>By the incomplete gamma functions at x = k exp(q w).</summary>
    private static (double Failed, double Survived) Incomplete(double w, double q, double k)
    {
        var x = k * Math.Exp(q * w);

        // log of x^k e^-x / Gamma(k), without its great terms.
        var logFactor = Math.Log(k) / 2 - LogSqrtTwoPi - StirlingRemainder(k) - w * w * Excess(q * w);
        if (double.IsInfinity(x) || double.IsNegativeInfinity(logFactor))
            return w > 0 ? (0, double.NegativeInfinity) : (double.NegativeInfinity, 0);
        if (IncompleteGamma.IsLower(k, x))
        {
            var failed = Math.Min(logFactor + IncompleteGamma.LogSeries(k, x), 0);
            return (failed, NearZero.Log1mExp(failed));
        }

        var survived = Math.Min(logFactor + IncompleteGamma.LogFraction(k, x), 0);
        return (NearZero.Log1mExp(survived), survived);
    }
}
