namespace Reliability.Plots.Survival;

/// <summary>A cohort on a plot of survival.</summary>
public sealed record SurvivalCohort
{
    /// <summary>Its name, for the legend.</summary>
    public required string Name { get; init; }

    /// <summary>The estimate at each age at which failures were seen, by increasing age.</summary>
    public required IReadOnlyList<SurvivalStep> Steps { get; init; }

    /// <summary>The oldest age observed, in run-hours: to there the last step is drawn.</summary>
    public required double OldestAgeHours { get; init; }

    /// <summary>The youngest age from which lives were watched, in run-hours: the curve begins there.</summary>
    public double EarliestEntryHours { get; init; }
}
