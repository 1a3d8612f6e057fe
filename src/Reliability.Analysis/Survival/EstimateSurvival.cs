using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Estimates survival without a life model (Kaplan and Meier 1958, Nelson 1972, Aalen 1978). Safe to use from many threads.
/// </summary>
/// <param name="catalog">Where the estimator comes from.</param>
public sealed class EstimateSurvival(ILifeModelCatalog catalog)
{
    /// <summary>Estimates survival.</summary>
    /// <param name="lives">The sample.</param>
    /// <param name="confidenceLevel">Level of the pointwise two-sided bounds, 0.5 to 0.9999.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The answer, or why these data allow none.</returns>
    /// <exception cref="RequestRefusedException">The level is out of range.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public Estimable<SurvivalAnswer> Answer(
        CohortSample lives, double confidenceLevel = 0.95, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lives);
        Refuse.UnlessConfidenceLevel(confidenceLevel);
        if (!catalog.Nonparametric.Estimate(lives.Sample, confidenceLevel, cancellationToken).TryGet(out var estimate, out var reason))
            return reason;
        var notes = new NoteCollector(estimate.Warnings);
        notes.Take("median life", estimate.MedianLife);
        foreach (var point in estimate.Points)
        {
            notes.Take("reliability", point.Reliability);
            notes.Take("cumulative hazard", point.CumulativeHazard);
        }

        return new SurvivalAnswer(estimate, notes.Collected());
    }
}
