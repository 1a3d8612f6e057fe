using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>One cohort of a comparison.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Fit">Its own fit, or why there is none.</param>
/// <param name="Summary">Its sample.</param>
public sealed record CohortAnswer(string Name, Estimable<FitAnswer> Fit, SampleSummary Summary);
