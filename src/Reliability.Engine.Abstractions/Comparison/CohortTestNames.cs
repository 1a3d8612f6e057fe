namespace Reliability.Engine.Abstractions;

/// <summary>Names of tests between cohorts.</summary>
public static class CohortTestNames
{
    /// <summary>Log-rank test: the same hazard at all ages.</summary>
    public const string LogRank = "log-rank";

    /// <summary>Likelihood ratio: one shape for all against a shape each.</summary>
    public const string EqualShape = "equal-shape";

    /// <summary>Likelihood ratio: one scale for all against a scale each, the shape being common.</summary>
    public const string EqualScaleGivenShape = "equal-scale-given-shape";

    /// <summary>Likelihood ratio: one distribution for all against one each.</summary>
    public const string EqualLife = "equal-life";
}
