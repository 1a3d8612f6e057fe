using System.Runtime.CompilerServices;
using Reliability.Engine.Kernels;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.LocationScale;

/// <summary>Standard normal. With log time it gives the lognormal (Meeker and Escobar 1998, 4.5-4.6).</summary>
internal readonly struct StandardNormal : IStandardDistribution
{
    private const double LogSqrtTwoPi = 0.91893853320467274178;
    private const double SqrtHalf = 0.70710678118654752440;
    private const double SqrtTwoOverPi = 0.79788456080286535588;
    private const double LogTwo = 0.69314718055994530942;
    private const double SqrtTwoPi = 2.50662827463100050242;

    // Beyond this a tail is nothing, and the square still a number.
    private const double GreatestZ = 1e8;

    public double LogDensity(double z, out double slope, out double curvature)
    {
        slope = -z;
        curvature = -1;
        return -0.5 * z * z - LogSqrtTwoPi;
    }

    public double LogSurvival(double z, out double slope, out double curvature)
    {
        var scaled = ScaledErfc.At(z * SqrtHalf);
        var hazard = SqrtTwoOverPi / scaled;
        slope = -hazard;
        curvature = hazard * (z - hazard);
        return TailOf(z, scaled);
    }

    public double LogSurvival(double z) => TailOf(z, ScaledErfc.At(z * SqrtHalf));

    public double LogInterval(double z, double upper, double width)
    {
        if (double.IsNegativeInfinity(z))
            return LogSurvival(-upper);

        // The difference is taken in the smaller tail.
        var (large, small) = z > 0 ? (LogSurvival(z), LogSurvival(upper)) : (LogSurvival(-upper), LogSurvival(-z));
        return large + NearZero.Log1mExp(Math.Min(small - large, 0));
    }

    public double LogCumulativeHazard(double z) =>
        z < -38 ? LogSurvival(-z) : Math.Log(-LogSurvival(z));

    public double LogHazardBetween(double z, double upper, double width) =>
        double.IsNegativeInfinity(z) ? LogCumulativeHazard(upper) : Math.Log(LogSurvival(z) - LogSurvival(upper));

    public double AtLogHazard(double logHazard) => QuantileOfLogSurvival(-Math.Exp(logHazard));

    public double Quantile(double fraction) =>
        fraction <= 0.5 ? -UpperQuantile(Math.Log(fraction)) : UpperQuantile(NearZero.Log1p(-fraction));

    public double Advance(double z, double hazard) => QuantileOfLogSurvival(LogSurvival(z) - hazard) - z;

    public double LogMean(double sigma) => sigma * sigma / 2;

    /// <remarks>
    /// E[exp(sigma Z); Z &gt; z] = exp(sigma^2/2) S(z - sigma). With S written through erfcx the exponents cancel and
    /// mean remaining = exp(sigma z) (erfcx((z - sigma)/sqrt 2) / erfcx(z/sqrt 2) - 1).
    /// </remarks>
    public double LogMeanRemaining(double sigma, double z)
    {
        var shifted = z - sigma;
        if (shifted > -30)
        {
            var ratio = ScaledErfc.At(shifted * SqrtHalf) / ScaledErfc.At(z * SqrtHalf);
            if (double.IsFinite(ratio) && ratio > 1)
                return sigma * z + Math.Log(ratio - 1);
        }

        var logBeyond = sigma * sigma / 2 + LogSurvival(shifted) - LogSurvival(z);
        return logBeyond + NearZero.Log1mExp(Math.Min(sigma * z - logBeyond, 0));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogDensity<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        value = TLanes.MultiplyAdd(z * z, TLanes.All(-0.5), TLanes.All(-LogSqrtTwoPi));
        slope = -z;
        curvature = TLanes.All(-1);
    }

    /// <remarks>Above 0 the tail is exp(-z^2/2) erfcx / 2, of which the exponential cancels in the hazard; below it is 1 less the other tail.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogSurvival<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        TLanes zero = TLanes.All(0), half = TLanes.All(0.5), one = TLanes.All(1);
        var exponent = z * z * TLanes.All(-0.5);
        var bell = TLanes.Exp(exponent);
        var scaled = half * Scaled(TLanes.Abs(z));
        var tail = TLanes.WhereLess(zero, z, scaled, one - bell * scaled);
        value = LaneFunctions.Log(tail) + TLanes.WhereLess(zero, z, exponent, zero);
        var hazard = TLanes.WhereLess(zero, z, one, bell) * TLanes.All(1 / SqrtTwoPi) / tail;
        slope = -hazard;
        curvature = hazard * (z - hazard);
    }

    /// <remarks>The difference is taken in the smaller tail, as S(near) (1 - S(far) / S(near)), so that nothing underflows.</remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogInterval<TLanes>(
        TLanes lower, TLanes upper, TLanes width, out TLanes value, out TLanes atLower, out TLanes slopeLower, out TLanes atUpper,
        out TLanes slopeUpper)
        where TLanes : struct, ILanes<TLanes>
    {
        TLanes zero = TLanes.All(0), half = TLanes.All(0.5), one = TLanes.All(1), most = TLanes.All(GreatestZ);
        lower = TLanes.Max(lower, -most);
        upper = TLanes.Min(upper, most);
        var near = TLanes.Min(TLanes.WhereLess(zero, lower, lower, -upper), most);
        var far = TLanes.WhereLess(zero, lower, upper, -lower);
        var scaledNear = half * Scaled(TLanes.Abs(near));
        var scaledFar = half * Scaled(far);
        var exponentNear = near * near * TLanes.All(-0.5);
        var bellNear = TLanes.Exp(exponentNear);
        var tailNear = TLanes.WhereLess(zero, near, scaledNear, one - bellNear * scaledNear);

        // Both tails over exp(-near^2/2) where near is above 0, as they are where it is not.
        var fall = TLanes.Exp(TLanes.WhereLess(
            zero, near, (near + far) * TLanes.Min(width, most + most) * TLanes.All(-0.5), far * far * TLanes.All(-0.5)));
        var within = tailNear - fall * scaledFar;
        value = LaneFunctions.Log(within) + TLanes.WhereLess(zero, near, exponentNear, zero);
        var perProbability = TLanes.All(1 / SqrtTwoPi) / within;
        var atNear = TLanes.WhereLess(zero, near, one, bellNear) * perProbability;
        var atFar = fall * perProbability;
        atLower = TLanes.WhereLess(zero, lower, atNear, atFar);
        atUpper = TLanes.WhereLess(zero, lower, atFar, atNear);
        slopeLower = -lower;
        slopeUpper = -upper;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static TLanes Scaled<TLanes>(TLanes z)
        where TLanes : struct, ILanes<TLanes> => LaneFunctions.ScaledErfc(z * TLanes.All(SqrtHalf));

    private double QuantileOfLogSurvival(double logSurvival) =>
        logSurvival > -LogTwo
            ? -UpperQuantile(NearZero.Log1mExp(logSurvival))
            : UpperQuantile(logSurvival);

    private static double TailOf(double z, double scaled)
    {
        if (z > -1)
            return -0.5 * z * z + Math.Log(0.5 * scaled);

        // S is near 1 here: log S = log(1 - F) with F small.
        return NearZero.Log1p(-0.5 * Math.Exp(-0.5 * z * z) * ScaledErfc.At(-z * SqrtHalf));
    }

    /// <summary>z &gt;= 0 with S(z) = exp(logTail), logTail &lt;= log(1/2), by Newton's method on log S.</summary>
    private double UpperQuantile(double logTail)
    {
        var z = logTail > -600
            ? -MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, Math.Exp(logTail))
            : Math.Sqrt(-2 * logTail - Math.Log(-4 * Math.PI * logTail));
        for (var i = 0; i < 50; i++)
        {
            var step = (LogSurvival(z, out var slope, out _) - logTail) / -slope;
            z += step;
            if (Math.Abs(step) <= 1e-15 * (1 + Math.Abs(z)))
                break;
        }

        return z;
    }
}
