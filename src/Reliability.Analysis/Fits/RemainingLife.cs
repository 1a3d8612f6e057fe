using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>What is left after an age already reached.</summary>
/// <param name="AgeHours">The age already reached, in run-hours.</param>
/// <param name="Survival">Chances of surviving further run-hours, given that age.</param>
/// <param name="MedianHours">Further run-hours that half of such modules will outlast.</param>
/// <param name="MeanHours">Mean further run-hours.</param>
public sealed record RemainingLife(
    double AgeHours, IReadOnlyList<ReliabilityPoint> Survival, BoundedEstimate MedianHours, BoundedEstimate MeanHours);
