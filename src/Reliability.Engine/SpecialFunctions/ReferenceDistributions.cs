using MathNet.Numerics.Distributions;

namespace Reliability.Engine.SpecialFunctions;

/// <summary>Quantiles and tails of the distributions that bounds and tests are referred to.</summary>
internal static class ReferenceDistributions
{
    /// <summary>Standard normal quantile of a two-sided level: 1.96 for 0.95.</summary>
    public static double TwoSidedNormal(double level) => -Normal.InvCDF(0, 1, (1 - level) / 2);

    /// <summary>Chi-square quantile.</summary>
    public static double ChiSquareQuantile(double degreesOfFreedom, double probability) =>
        2 * Gamma.InvCDF(degreesOfFreedom / 2, 1, probability);

    /// <summary>Upper tail probability of chi-square.</summary>
    public static double ChiSquareUpperTail(double degreesOfFreedom, double statistic) =>
        statistic <= 0
            ? 1
            : Math.Exp(IncompleteGamma.LogUpper(degreesOfFreedom / 2, statistic / 2)
                - MathNet.Numerics.SpecialFunctions.GammaLn(degreesOfFreedom / 2));
}
