using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Estimates how many replacements a position needs on average as its hours go on: the mean cumulative function (Nelson 2003).
/// Safe to use from many threads.
/// </summary>
/// <param name="catalog">Where the estimator comes from.</param>
public sealed class EstimateReplacements(ILifeModelCatalog catalog)
{
    /// <summary>Estimates the function.</summary>
    /// <param name="positions">What was seen at each position.</param>
    /// <param name="confidenceLevel">Level of the two-sided bounds, 0.5 to 0.9999.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The answer, or why there is none.</returns>
    /// <exception cref="RequestRefusedException">The level is out of range.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public Estimable<ReplacementAnswer> Answer(
        IReadOnlyList<PositionHistory> positions, double confidenceLevel, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(positions);
        Refuse.UnlessConfidenceLevel(confidenceLevel);
        if (!catalog.Nonparametric.MeanReplacements(positions, confidenceLevel, cancellationToken).TryGet(out var estimate, out var reason))
            return reason;
        var notes = new NoteCollector(estimate.Warnings);
        foreach (var point in estimate.Points)
            notes.Take("mean replacements", point.MeanReplacements);
        return new ReplacementAnswer(
            estimate, positions.Count, positions.Sum(p => p.ReplacementHours.Length), positions.Sum(p => p.EndHours - p.StartHours),
            notes.Collected());
    }
}
