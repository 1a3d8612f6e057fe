namespace Reliability.Engine.Abstractions;

/// <summary>How bounds are made. A model says in its <see cref="LifeModelCapabilities"/> which it has.</summary>
public enum BoundsMethod
{
    /// <summary>Profile likelihood ratio (Meeker and Escobar 1998, ch. 8).</summary>
    LikelihoodRatio = 0,

    /// <summary>Normal approximation (delta method) on the log scale for positive quantities and on log(-log) for
    /// probabilities (Meeker and Escobar 1998, ch. 7-8).</summary>
    NormalApproximation = 1,

    /// <summary>Bounds corrected for their actual coverage in small samples.</summary>
    Calibrated = 2,

    /// <summary>Simulation from the fitted life: percentile-t, parametric (Meeker and Escobar 1998, ch. 9).</summary>
    Bootstrap = 3,

    /// <summary>Chi-square and other pivotal bounds, where they exist: complete and failure-terminated samples, and one parameter
    /// (IEC 61649; Lawless 2003, 4.1).</summary>
    Exact = 4,
}
