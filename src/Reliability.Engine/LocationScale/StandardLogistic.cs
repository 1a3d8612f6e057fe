using System.Runtime.CompilerServices;
using Reliability.Engine.Kernels;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.LocationScale;

/// <summary>Standard logistic: F(z) = 1 / (1 + exp(-z)). With log time it gives the loglogistic
/// (Meeker and Escobar 1998, 4.10 from memory; Lawless 2003, 1.3).</summary>
internal readonly struct StandardLogistic : IStandardDistribution
{
    private const int MostTerms = 20_000;

    // Beyond this the lower tail is exp(z) to the last digit.
    private const double Far = -37;

    public double LogDensity(double z, out double slope, out double curvature)
    {
        var tail = Math.Exp(-Math.Abs(z));
        var smaller = tail / (1 + tail);
        var larger = 1 / (1 + tail);
        slope = z < 0 ? larger - smaller : smaller - larger;
        curvature = -2 * smaller * larger;
        return -Math.Abs(z) - 2 * NearZero.Log1p(tail);
    }

    public double LogSurvival(double z, out double slope, out double curvature)
    {
        var tail = Math.Exp(-Math.Abs(z));
        var failed = (z < 0 ? tail : 1) / (1 + tail);
        slope = -failed;
        curvature = -tail / ((1 + tail) * (1 + tail));
        return -SoftPlus(z);
    }

    public double LogSurvival(double z) => -SoftPlus(z);

    /// <remarks>F(b) - F(a) = F(b) S(a) (1 - exp(a - b)): nothing cancels.</remarks>
    public double LogInterval(double z, double upper, double width) =>
        double.IsNegativeInfinity(z)
            ? -SoftPlus(-upper)
            : -SoftPlus(-upper) - SoftPlus(z) + NearZero.Log1mExp(-width);

    public double LogCumulativeHazard(double z) => z < Far ? z : Math.Log(SoftPlus(z));

    /// <remarks>log S(a) - log S(b) = log(1 + F(a) (exp(b - a) - 1)).</remarks>
    public double LogHazardBetween(double z, double upper, double width) =>
        double.IsNegativeInfinity(z)
            ? LogCumulativeHazard(upper)
            : LogCumulativeHazard(width + NearZero.Log1mExp(-width) - SoftPlus(-z));

    public double AtLogHazard(double logHazard)
    {
        if (logHazard < Far)
            return logHazard;
        var hazard = Math.Exp(logHazard);
        return hazard + NearZero.Log1mExp(-hazard);
    }

    public double Quantile(double fraction) => Math.Log(fraction) - NearZero.Log1p(-fraction);

    /// <remarks>1 + exp(z') = (1 + exp(z)) exp(h), so z' - z = log(1 + (exp(h) - 1) / F(z)).</remarks>
    public double Advance(double z, double hazard) =>
        SoftPlus(hazard + NearZero.Log1mExp(-hazard) + SoftPlus(-z));

    /// <remarks>Gamma(1 + sigma) Gamma(1 - sigma); there is no mean from sigma = 1 on.</remarks>
    public double LogMean(double sigma) =>
        sigma < 1 ? Math.Log(Math.PI * sigma / Math.Sin(Math.PI * sigma)) : double.PositiveInfinity;

    /// <remarks>
    /// The integral of sigma exp(sigma x) S(x) beyond z is sigma times the incomplete beta function with parameters
    /// 1 - sigma and sigma up to S(z), whose series here has positive terms only (Abramowitz and Stegun 26.5.4). Near S = 1,
    /// where it converges slowly, the rest is taken from the whole.
    /// </remarks>
    public double LogMeanRemaining(double sigma, double z)
    {
        if (!(sigma < 1))
            return double.PositiveInfinity;
        var logSurvival = -SoftPlus(z);
        var logFailed = -SoftPlus(-z);
        if (z > -3)
            return sigma * z + Math.Log(sigma / (1 - sigma)) + Math.Log(Series(2 - sigma, Math.Exp(logSurvival)));
        var whole = LogMean(sigma);
        var before = sigma * logFailed + (1 - sigma) * logSurvival + Math.Log(Series(1 + sigma, Math.Exp(logFailed)));
        return whole + NearZero.Log1mExp(Math.Min(before - whole, 0)) - logSurvival;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogDensity<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        TLanes zero = TLanes.All(0), one = TLanes.All(1);
        var size = TLanes.Abs(z);
        var tail = TLanes.Exp(-size);
        var sum = one + tail;
        var larger = one / sum;
        var smaller = tail * larger;
        var difference = larger - smaller;
        value = -size - TLanes.All(2) * LaneFunctions.Log(sum);
        slope = TLanes.WhereLess(z, zero, difference, -difference);
        curvature = TLanes.All(-2) * smaller * larger;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogSurvival<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        TLanes zero = TLanes.All(0), one = TLanes.All(1);
        var tail = TLanes.Exp(-TLanes.Abs(z));
        var sum = one + tail;
        var larger = one / sum;
        var smaller = tail * larger;
        value = -LaneFunctions.Log(sum) - TLanes.Max(z, zero);
        slope = -TLanes.WhereLess(z, zero, smaller, larger);
        curvature = -(smaller * larger);
    }

    /// <remarks>As the scalar one; the densities over the probability are S(b) / (S(a) (1 - exp(-width))) and F(a) / (F(b) (1 - exp(-width))).</remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogInterval<TLanes>(
        TLanes lower, TLanes upper, TLanes width, out TLanes value, out TLanes atLower, out TLanes slopeLower, out TLanes atUpper,
        out TLanes slopeUpper)
        where TLanes : struct, ILanes<TLanes>
    {
        TLanes zero = TLanes.All(0), one = TLanes.All(1);
        TLanes tailA = TLanes.Exp(-TLanes.Abs(lower)), tailB = TLanes.Exp(-TLanes.Abs(upper));
        TLanes sumA = one + tailA, sumB = one + tailB;
        TLanes largerA = one / sumA, largerB = one / sumB;
        TLanes smallerA = tailA * largerA, smallerB = tailB * largerB;
        var within = LaneFunctions.OneMinusExp(width, TLanes.Exp(-width));

        // -softplus(-b) - softplus(a), the sums in one logarithm.
        value = LaneFunctions.Log(within / (sumA * sumB)) + TLanes.Min(upper, zero) - TLanes.Max(lower, zero);
        var failedA = TLanes.WhereLess(lower, zero, smallerA, largerA);
        var survivedA = TLanes.WhereLess(lower, zero, largerA, smallerA);
        var failedB = TLanes.WhereLess(upper, zero, smallerB, largerB);
        var survivedB = TLanes.WhereLess(upper, zero, largerB, smallerB);
        atUpper = survivedB / (survivedA * within);
        atLower = failedA / (failedB * within);
        slopeLower = survivedA - failedA;
        slopeUpper = survivedB - failedB;
    }

    /// <summary>Sum of k! / (b (b+1) ... (b+k-1)) x^k, 0 &lt;= x &lt; 1.</summary>
    private static double Series(double b, double x)
    {
        double term = 1, sum = 1;
        for (var k = 1; k < MostTerms && term > sum * 1e-17; k++)
        {
            term *= x * k / (b + k - 1);
            sum += term;
        }

        return sum;
    }

    /// <summary>log(1 + exp(z)).</summary>
    private static double SoftPlus(double z) =>
        z > 0 ? z + NearZero.Log1p(Math.Exp(-z)) : NearZero.Log1p(Math.Exp(z));
}
