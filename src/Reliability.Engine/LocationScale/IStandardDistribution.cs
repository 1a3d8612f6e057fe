using Reliability.Engine.Kernels;

namespace Reliability.Engine.LocationScale;

/// <summary>
/// A standard distribution of z = (log t - location) / sigma: what tells one log-location-scale family from another
/// (Meeker and Escobar 1998, ch. 4). Implemented by stateless structs so that the likelihood's loops inline it.
/// </summary>
internal interface IStandardDistribution
{
    /// <summary>log of the density at z, with its first and second derivative.</summary>
    double LogDensity(double z, out double slope, out double curvature);

    /// <summary>log of the upper tail S(z), with its first and second derivative.</summary>
    double LogSurvival(double z, out double slope, out double curvature);

    /// <summary>log of the upper tail S(z).</summary>
    double LogSurvival(double z);

    /// <summary>log(F(z + width) - F(z)) for width &gt; 0; z may be negative infinity, then log F(upper).</summary>
    double LogInterval(double z, double upper, double width);

    /// <summary>log(-log S(z)), the complementary log-log of the tail.</summary>
    double LogCumulativeHazard(double z);

    /// <summary>log(log S(z) - log S(upper)), upper = z + width: the log hazard accumulated between; z may be negative infinity.</summary>
    double LogHazardBetween(double z, double upper, double width);

    /// <summary>The z at which log(-log S(z)) has a value: the inverse of <see cref="LogCumulativeHazard"/>.</summary>
    double AtLogHazard(double logHazard);

    /// <summary>The z at which F(z) = fraction, 0 &lt; fraction &lt; 1.</summary>
    double Quantile(double fraction);

    /// <summary>How far beyond z the tail has fallen by the factor exp(-hazard): z' - z with log S(z') = log S(z) - hazard.</summary>
    double Advance(double z, double hazard);

    /// <summary>log E[exp(sigma Z)], the log mean of t when the location is 0.</summary>
    double LogMean(double sigma);

    /// <summary>log of the mean of exp(sigma Z) - exp(sigma z) given Z &gt; z: the log mean remaining life when the location is 0.</summary>
    double LogMeanRemaining(double sigma, double z);

    /// <summary>
    /// <see cref="LogDensity(double, out double, out double)"/> of several z at once. Distributions that do not write it answer number
    /// by number.
    /// </summary>
    void LogDensity<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        Span<double> of = stackalloc double[8], values = stackalloc double[8], slopes = stackalloc double[8], curvatures = stackalloc double[8];
        TLanes.Store(z, ref of[0], 0);
        for (var i = 0; i < TLanes.Count; i++)
            values[i] = LogDensity(of[i], out slopes[i], out curvatures[i]);
        (value, slope, curvature) = (TLanes.Load(ref values[0], 0), TLanes.Load(ref slopes[0], 0), TLanes.Load(ref curvatures[0], 0));
    }

    /// <summary><see cref="LogSurvival(double, out double, out double)"/> of several z at once.</summary>
    void LogSurvival<TLanes>(TLanes z, out TLanes value, out TLanes slope, out TLanes curvature)
        where TLanes : struct, ILanes<TLanes>
    {
        Span<double> of = stackalloc double[8], values = stackalloc double[8], slopes = stackalloc double[8], curvatures = stackalloc double[8];
        TLanes.Store(z, ref of[0], 0);
        for (var i = 0; i < TLanes.Count; i++)
            values[i] = LogSurvival(of[i], out slopes[i], out curvatures[i]);
        (value, slope, curvature) = (TLanes.Load(ref values[0], 0), TLanes.Load(ref slopes[0], 0), TLanes.Load(ref curvatures[0], 0));
    }

    /// <summary>
    /// Several intervals at once, none narrower than 1e-4: log(F(upper) - F(lower)), the density at either end over that probability,
    /// and the slope of the log density there. Where the lower end is negative infinity, what is said of it has no meaning.
    /// </summary>
    void LogInterval<TLanes>(
        TLanes lower, TLanes upper, TLanes width, out TLanes value, out TLanes atLower, out TLanes slopeLower, out TLanes atUpper,
        out TLanes slopeUpper)
        where TLanes : struct, ILanes<TLanes>
    {
        Span<double> a = stackalloc double[8], b = stackalloc double[8], w = stackalloc double[8], log = stackalloc double[8];
        TLanes.Store(lower, ref a[0], 0);
        TLanes.Store(upper, ref b[0], 0);
        TLanes.Store(width, ref w[0], 0);
        Span<double> la = stackalloc double[8], sa = stackalloc double[8], lb = stackalloc double[8], sb = stackalloc double[8];
        for (var i = 0; i < TLanes.Count; i++)
        {
            log[i] = LogInterval(a[i], b[i], w[i]);
            la[i] = double.IsNegativeInfinity(a[i]) ? 0 : Math.Exp(LogDensity(a[i], out sa[i], out _) - log[i]);
            lb[i] = Math.Exp(LogDensity(b[i], out sb[i], out _) - log[i]);
            if (la[i] == 0)
                sa[i] = 0;
            if (lb[i] == 0)
                sb[i] = 0;
        }

        (value, atLower, slopeLower) = (TLanes.Load(ref log[0], 0), TLanes.Load(ref la[0], 0), TLanes.Load(ref sa[0], 0));
        (atUpper, slopeUpper) = (TLanes.Load(ref lb[0], 0), TLanes.Load(ref sb[0], 0));
    }
}
