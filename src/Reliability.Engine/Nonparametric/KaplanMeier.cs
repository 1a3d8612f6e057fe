using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Kaplan-Meier and Nelson-Aalen estimates just after each age of failure, as columns (Kalbfleisch and Prentice 2002, 1.4).
/// </summary>
internal sealed class KaplanMeier
{
    private KaplanMeier(RiskSets sets)
    {
        Sets = sets;
        Reliability = new double[sets.Hours.Length];
        Greenwood = new double[sets.Hours.Length];
        Hazard = new double[sets.Hours.Length];
        HazardVariance = new double[sets.Hours.Length];
        double reliability = 1, greenwood = 0, hazard = 0, hazardVariance = 0;
        for (var k = 0; k < Reliability.Length; k++)
        {
            var failed = sets.Failures[k];
            var atRisk = sets.AtRisk[k];
            Reliability[k] = reliability *= (atRisk - failed) / atRisk;

            // The two divisions keep a product of two tiny or two huge counts from leaving the range of a double.
            Greenwood[k] = greenwood += failed / atRisk / (atRisk - failed);
            Hazard[k] = hazard += failed / atRisk;
            HazardVariance[k] = hazardVariance += failed / atRisk / atRisk;
        }
    }

    public RiskSets Sets { get; }

    /// <summary>Estimated reliability after each age.</summary>
    public double[] Reliability { get; }

    /// <summary>Variance over the square of reliability (Greenwood); infinite where all at risk had failed.</summary>
    public double[] Greenwood { get; }

    /// <summary>Estimated cumulative hazard.</summary>
    public double[] Hazard { get; }

    /// <summary>Its variance, the sum of d/n^2 (Aalen).</summary>
    public double[] HazardVariance { get; }

    /// <summary>Estimates for a sample of failed and survived lives.</summary>
    public static KaplanMeier Of(LifeSample sample) => new(RiskSets.Of(sample));
}
