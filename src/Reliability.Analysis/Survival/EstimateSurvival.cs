using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Estimates survival without a life model (Kaplan and Meier 1958, Nelson 1972, Aalen 1978, Turnbull 1976), the mean up to an
/// age limit, and how failure modes compete (Aalen and Johansen 1978). Safe to use from many threads.
/// </summary>
/// <param name="catalog">Where the estimator comes from.</param>
public sealed class EstimateSurvival(ILifeModelCatalog catalog)
{
    /// <summary>Estimates survival.</summary>
    /// <param name="lives">The sample.</param>
    /// <param name="question">Confidence level and age limit.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The answer, or why these data allow none.</returns>
    /// <exception cref="RequestRefusedException">The level or the age limit is out of range.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public Estimable<SurvivalAnswer> Answer(
        CohortSample lives, SurvivalQuestion question, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lives);
        ArgumentNullException.ThrowIfNull(question);
        Refuse.UnlessConfidenceLevel(question.ConfidenceLevel);
        if (question.AgeLimitHours is { } asked)
            Refuse.UnlessHoursAbove0(asked, "age_limit_hours");
        var (sample, level) = (lives.Sample, question.ConfidenceLevel);
        if (!catalog.Nonparametric.Estimate(sample, level, cancellationToken).TryGet(out var estimate, out var reason))
            return NoLives.Explained(reason, lives.Summary);
        var (limit, basis) = Limit(question, lives, estimate);
        var mean = catalog.Nonparametric.RestrictedMean(estimate, limit);
        var notes = new NoteCollector(estimate.Warnings);
        notes.Take("median life", estimate.MedianLife);
        notes.Take("restricted mean", mean);
        foreach (var point in estimate.Points)
        {
            notes.Take("reliability", point.Reliability);
            notes.Take("cumulative hazard", point.CumulativeHazard);
        }

        return new SurvivalAnswer(
            estimate, new(limit, basis, mean), Incidences(sample, level, notes, cancellationToken), notes.Collected())
        {
            EarliestEntryHours = sample.EarliestEntryHours,
        };
    }

    private static (double Hours, AgeLimitBasis Basis) Limit(SurvivalQuestion question, CohortSample lives, SurvivalEstimate estimate)
    {
        if (question.AgeLimitHours is { } asked)
            return (asked, AgeLimitBasis.Asked);
        var oldest = lives.Sample.OldestHours;
        return lives.RatedHours is { } rated && (rated <= oldest || estimate.Points is [.., { Reliability.Value: <= 0 }])
            ? (rated, AgeLimitBasis.RatedHours)
            : (oldest, AgeLimitBasis.OldestAge);
    }

    private IReadOnlyList<ModeIncidence> Incidences(
        LifeSample sample, double level, NoteCollector notes, CancellationToken cancellationToken)
    {
        if (sample.FailureModeNames.Count == 0)
            return [];
        if (!catalog.Nonparametric.Incidence(sample, level, cancellationToken).TryGet(out var incidences, out var reason))
        {
            notes.Warn(AnalysisWarningCodes.NoIncidences, "Shares failed by mode are not given. " + reason.Text);
            return [];
        }

        foreach (var incidence in incidences)
        {
            foreach (var point in incidence.Points)
                notes.Take($"share failed by {incidence.FailureMode ?? "unknown mode"}", point.Incidence);
        }

        if (incidences.FirstOrDefault(i => i.FailureMode is null) is { } unknown)
        {
            notes.Warn(WarningCodes.UnknownFailureModes,
                $"{Words.Count(unknown.Points.Sum(p => p.Failures), "failure has", "failures have")} no mode on record and stand as a mode of "
                + "their own: the shares of the others are too low by up to theirs.");
        }

        return incidences;
    }
}
