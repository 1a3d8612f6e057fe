using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>The lives a prediction rests on and what was fitted to them.</summary>
/// <param name="Selection">The cohort.</param>
/// <param name="Lives">Its sample.</param>
/// <param name="Step">The step of widening that led to it.</param>
/// <param name="Text">The same in words.</param>
/// <param name="Fit">The fitted life; null when rated hours alone are left.</param>
public sealed record PredictionBasis(
    CohortSelection Selection, CohortSample Lives, WideningStep Step, string Text, IFittedLife? Fit)
{
    /// <summary>The predictive distribution, the uncertainty of the parameters taken in; null without a fit, or when the life model
    /// or the lives allow none, and then the fit is taken as known.</summary>
    public IPredictiveLife? Predictive { get; init; }

    /// <summary>Where new and refurbished lives are taken together, the log-rank test of whether they last equally long; else null.</summary>
    public CohortTest? ConditionsTest { get; init; }
}
