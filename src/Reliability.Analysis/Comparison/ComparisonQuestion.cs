using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>What is wanted of a comparison.</summary>
public sealed record ComparisonQuestion
{
    /// <summary>Id of the life model; the catalogue's default when null or empty.</summary>
    public string? LifeModel { get; init; }

    /// <summary>Level of the bounds, 0.5 to 0.9999, two-sided.</summary>
    public double ConfidenceLevel { get; init; } = 0.95;

    /// <summary>How bounds are made; the life model's first method when null.</summary>
    public BoundsMethod? BoundsMethod { get; init; }

    /// <summary>Failed fractions for which each cohort's ages are wanted; the usual ones when empty.</summary>
    public IReadOnlyList<double> FailureFractions { get; init; } = [];

    /// <summary>Ages in run-hours which each cohort's chance to outlast is wanted for.</summary>
    public IReadOnlyList<double> ReliabilityHours { get; init; } = [];

    /// <summary>Whether what is needed to draw each fit is wanted.</summary>
    public bool IncludePlot { get; init; }

    /// <summary>What is wanted of each cohort's own fit.</summary>
    internal FitQuestion OfEach => new()
    {
        LifeModel = LifeModel,
        ConfidenceLevel = ConfidenceLevel,
        BoundsMethod = BoundsMethod,
        FailureFractions = FailureFractions,
        ReliabilityHours = ReliabilityHours,
        IncludePlot = IncludePlot,
    };
}
