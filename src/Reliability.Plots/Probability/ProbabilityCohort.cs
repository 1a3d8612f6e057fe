namespace Reliability.Plots.Probability;

/// <summary>A cohort on a probability plot.</summary>
public sealed record ProbabilityCohort
{
    /// <summary>Its name, for the legend.</summary>
    public required string Name { get; init; }

    /// <summary>The fitted line with bounds, by increasing age; empty when there is no fit.</summary>
    public required IReadOnlyList<FittedPoint> Line { get; init; }

    /// <summary>The estimate that gave what was observed its fractions, for the legend, such as "Kaplan-Meier".</summary>
    public required string ObservedBy { get; init; }

    /// <summary>What was observed.</summary>
    public required IReadOnlyList<ObservedFailure> Observed { get; init; }
}
