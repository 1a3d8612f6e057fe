using System.Collections.Frozen;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>What is wanted of a fit.</summary>
public sealed record FitQuestion
{
    /// <summary>Failed fractions for which ages are given when a question names none.</summary>
    public static IReadOnlyList<double> UsualFailureFractions { get; } = [0.01, 0.05, 0.10, 0.50, 0.90];

    /// <summary>Id of the life model; the catalogue's default when null or empty.</summary>
    public string? LifeModel { get; init; }

    /// <summary>Level of the bounds, 0.5 to 0.9999, two-sided where both bounds exist.</summary>
    public double ConfidenceLevel { get; init; } = 0.95;

    /// <summary>How bounds are made; the life model's first method when null (likelihood ratio where it has it).</summary>
    public BoundsMethod? BoundsMethod { get; init; }

    /// <summary>Failed fractions for which ages are wanted, each above 0 and below 1; the usual ones when empty.</summary>
    public IReadOnlyList<double> FailureFractions { get; init; } = [];

    /// <summary>Ages in run-hours for which the chance to outlast them is wanted, each 0 or more.</summary>
    public IReadOnlyList<double> ReliabilityHours { get; init; } = [];

    /// <summary>Ages already reached, after which the rest of life is wanted.</summary>
    public IReadOnlyList<RemainingLifeQuestion> RemainingLives { get; init; } = [];

    /// <summary>Parameters held at a value, by name.</summary>
    public IReadOnlyDictionary<string, double> FixedParameters { get; init; } = FrozenDictionary<string, double>.Empty;

    /// <summary>What ended the observation.</summary>
    public Termination Termination { get; init; }

    /// <summary>Seed of whatever is simulated.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>Samples that bootstrap bounds simulate.</summary>
    public int Replicates { get; init; } = FitOptions.UsualReplicates;

    /// <summary>Samples to simulate for a test of the fit; none when 0.</summary>
    public int TestReplicates { get; init; }

    /// <summary>Whether Cox-Snell residuals are wanted.</summary>
    public bool IncludeResiduals { get; init; }

    /// <summary>Whether what is needed to draw the fit is wanted.</summary>
    public bool IncludePlot { get; init; }
}
