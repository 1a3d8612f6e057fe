using System.Collections.Frozen;

namespace Reliability.Engine.Abstractions;

/// <summary>What a fit should do. Values are checked by <see cref="ILifeModel.Fit"/>.</summary>
public sealed record FitOptions
{
    /// <summary>The least that <see cref="Replicates"/> may be.</summary>
    public const int FewestReplicates = 99;

    /// <summary>The most that <see cref="Replicates"/> may be.</summary>
    public const int MostReplicates = 20_000;

    /// <summary>What <see cref="Replicates"/> is when nobody says.</summary>
    public const int UsualReplicates = 1999;

    /// <summary>The defaults: 95 % two-sided likelihood-ratio bounds, nothing fixed.</summary>
    public static FitOptions Default { get; } = new();

    /// <summary>Confidence level of two-sided bounds, above 0 and below 1. Where only a one-sided bound exists
    /// (no failures) it is at this same level.</summary>
    public double ConfidenceLevel { get; init; } = 0.95;

    /// <summary>How bounds are made.</summary>
    public BoundsMethod BoundsMethod { get; init; } = BoundsMethod.LikelihoodRatio;

    /// <summary>Parameters held at a value, by name; the names a model allows are in its capabilities.</summary>
    public IReadOnlyDictionary<string, double> FixedParameters { get; init; } = FrozenDictionary<string, double>.Empty;

    /// <summary>What ended the observation; matters to exact bounds only.</summary>
    public Termination Termination { get; init; }

    /// <summary>Samples that bootstrap bounds simulate, <see cref="FewestReplicates"/> to <see cref="MostReplicates"/>; so many that a sample
    /// of them lies beyond each bound.</summary>
    public int Replicates { get; init; } = UsualReplicates;

    /// <summary>Seed of methods that draw random numbers; the same seed gives the same answer.</summary>
    public ulong Seed { get; init; } = 1;
}
