using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>One life model of an assessment.</summary>
/// <param name="LifeModel">Its id.</param>
/// <param name="Fit">The fit, or why there is none.</param>
/// <param name="EstimatedParameters">How many parameters were estimated.</param>
/// <param name="AiccDifference">Corrected Akaike criterion less the least of all; null when it does not exist.</param>
/// <param name="BicDifference">Bayesian criterion less the least of all; null when it does not exist.</param>
/// <param name="FitTest">The test of the fit by simulation, or why there is none; null when not asked for.</param>
public sealed record ModelAssessment(
    string LifeModel,
    Estimable<FitAnswer> Fit,
    int EstimatedParameters,
    double? AiccDifference,
    double? BicDifference,
    Estimable<FitTest>? FitTest);
