namespace Reliability.Plots.Survival;

/// <summary>A plot of survival estimated without a model: one or more cohorts.</summary>
public sealed record SurvivalSheet
{
    /// <summary>What the sheet shows, in one line.</summary>
    public required string Title { get; init; }

    /// <summary>Further lines; empty for none.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>Which estimate and bounds, for the legend, such as "Kaplan-Meier, 95 % bounds".</summary>
    public required string BoundsLabel { get; init; }

    /// <summary>The cohorts, at least one.</summary>
    public required IReadOnlyList<SurvivalCohort> Cohorts { get; init; }
}
