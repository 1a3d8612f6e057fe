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
}
