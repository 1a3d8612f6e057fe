namespace Reliability.Plots.Probability;

/// <summary>A probability plot: one or more cohorts on the axes of one life model.</summary>
public sealed record ProbabilitySheet
{
    /// <summary>What the sheet shows, in one line.</summary>
    public required string Title { get; init; }

    /// <summary>Further lines, such as the estimates; empty for none.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>What the bounds are, for the legend, such as "95 % bounds".</summary>
    public required string BoundsLabel { get; init; }

    /// <summary>The axes on which a fit of the model is drawn.</summary>
    public required ProbabilityAxes Axes { get; init; }

    /// <summary>The cohorts, at least one.</summary>
    public required IReadOnlyList<ProbabilityCohort> Cohorts { get; init; }
}
