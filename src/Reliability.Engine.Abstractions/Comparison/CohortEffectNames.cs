namespace Reliability.Engine.Abstractions;

/// <summary>Names of effects between cohorts.</summary>
public static class CohortEffectNames
{
    /// <summary>Ratio of B10 lives.</summary>
    public const string B10Ratio = "b10-ratio";

    /// <summary>Ratio of median lives.</summary>
    public const string MedianRatio = "median-ratio";

    /// <summary>Ratio of mean lives.</summary>
    public const string MeanRatio = "mean-ratio";
}
