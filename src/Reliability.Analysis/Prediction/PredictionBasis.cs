using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>The lives a prediction rests on and what was fitted to them.</summary>
/// <param name="Selection">The cohort.</param>
/// <param name="Lives">Its sample.</param>
/// <param name="Step">The step of widening that led to it.</param>
/// <param name="Text">The same in words.</param>
/// <param name="Fit">The fitted life; null when rated hours alone are left.</param>
public sealed record PredictionBasis(
    CohortSelection Selection, CohortSample Lives, WideningStep Step, string Text, IFittedLife? Fit);
