using System.Runtime.CompilerServices;
using Reliability.Engine.Kernels;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.LocationScale;

/// <summary>Standard smallest extreme value: F(z) = 1 - exp(-exp(z)). With log time it gives the Weibull and exponential
/// (Meeker and Escobar 1998, 4.7-4.8).</summary>
internal readonly struct SmallestExtremeValue : IStandardDistribution
{
    // Below this argument exp() loses digits to denormals; the value no longer matters to any sum.
    private const double Floor = -700;

    // Above this exp() is no number; a likelihood there is far below any that matters.
    private const double Ceiling = 700;

    public double LogDensity(double z, out double slope, out double curvature)
    {
        var hazard = Exp(z);
        slope = 1 - hazard;
        curvature = -hazard;
        return z - hazard;
    }

    public double LogSurvival(double z, out double slope, out double curvature)
    {
        var hazard = Exp(z);
        slope = -hazard;
        curvature = -hazard;
        return -hazard;
    }

    public double LogSurvival(double z) => -Exp(z);

    public double LogInterval(double z, double upper, double width)
    {
        if (double.IsNegativeInfinity(z))
            return NearZero.Log1mExp(-Exp(upper));

        // exp(z) (exp(width) - 1) keeps its digits for narrow intervals; wide ones would overflow in the factor.
        var gap = width < 1 ? Exp(z) * NearZero.Expm1(width) : Exp(upper) - Exp(z);
        return NearZero.Log1mExp(-gap) - Exp(z);
    }

    public double LogCumulativeHazard(double z) => z;

    public double LogHazardBetween(double z, double upper, double width) => upper + NearZero.Log1mExp(-width);

    public double AtLogHazard(double logHazard) => logHazard;

    public double Quantile(double fraction) => Math.Log(-NearZero.Log1p(-fraction));

    public double Advance(double z, double hazard)
    {
        var ratio = Math.Log(hazard) - z;
        return ratio > 36 ? ratio : NearZero.Log1p(Math.Exp(ratio));
    }

    public double LogMean(double sigma) => MathNet.Numerics.SpecialFunctions.GammaLn(1 + sigma);

    /// <remarks>
    /// The mean of exp(sigma Z) beyond z is Gamma(1 + sigma, H) e^H with H = exp(z). For H of 1 or more the difference to
    /// exp(sigma z) = H^sigma is taken by the recurrence Gamma(1 + s, H) = s Gamma(s, H) + H^s e^-H, which cannot cancel.
    /// </remarks>
    public double LogMeanRemaining(double sigma, double z)
    {
        var hazard = Exp(z);
        if (hazard >= 1)
            return Math.Log(sigma) + IncompleteGamma.LogUpperTimesExp(sigma, hazard);
        var logBeyond = IncompleteGamma.LogUpperTimesExp(1 + sigma, hazard);
        return logBeyond + NearZero.Log1mExp(Math.Min(sigma * z - logBeyond, 0));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogDensity<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        var hazard = TLanes.Exp(z);
        value = z - hazard;
        slope = TLanes.All(1) - hazard;
        curvature = -hazard;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogSurvival<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        value = -TLanes.Exp(z);
        slope = value;
        curvature = value;
    }

    /// <remarks>With a, b the hazards at the ends: F(b) - F(a) = exp(-a) (1 - exp(-(b - a))), and b - a = b (1 - exp(-width)).</remarks>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void LogInterval<TLanes>(
        TLanes lower, TLanes upper, TLanes width, out TLanes value, out TLanes atLower, out TLanes slopeLower, out TLanes atUpper,
        out TLanes slopeUpper)
        where TLanes : struct, ILanes<TLanes>
    {
        var one = TLanes.All(1);
        var hazardUpper = TLanes.Exp(TLanes.Min(upper, TLanes.All(Ceiling)));
        var ratio = TLanes.Exp(-width);
        var hazardLower = hazardUpper * ratio;
        var gap = hazardUpper * LaneFunctions.OneMinusExp(width, ratio);
        var beyond = TLanes.Exp(-gap);
        var within = LaneFunctions.OneMinusExp(gap, beyond);
        value = LaneFunctions.Log(within) - hazardLower;
        var perProbability = one / within;
        atLower = hazardLower * perProbability;
        slopeLower = one - hazardLower;
        atUpper = hazardUpper * beyond * perProbability;
        slopeUpper = one - hazardUpper;
    }

    private static double Exp(double z) => z < Floor ? 0 : Math.Exp(z);
}
