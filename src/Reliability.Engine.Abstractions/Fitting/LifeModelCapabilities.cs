using System.Collections.Frozen;

namespace Reliability.Engine.Abstractions;

/// <summary>What a life model can do. Callers ask these flags, never a model's id.</summary>
public sealed record LifeModelCapabilities
{
    /// <summary>Takes failures between two ages.</summary>
    public bool SupportsIntervals { get; init; }

    /// <summary>Takes lives whose observation began at an age above 0.</summary>
    public bool SupportsLateEntry { get; init; }

    /// <summary>Multiplying all hours by a factor multiplies all lives by it.</summary>
    public bool ScaleEquivariant { get; init; }

    /// <summary>Gives one-sided bounds when no life failed, with the parameters of <see cref="FixableParameters"/> held
    /// (or with none, when the model has no other parameter).</summary>
    public bool BoundsWithoutFailures { get; init; }

    /// <summary>Parameters that may be held at a value.</summary>
    public IReadOnlySet<string> FixableParameters { get; init; } = FrozenSet<string>.Empty;

    /// <summary>Bounds methods available when all parameters are estimated.</summary>
    public IReadOnlySet<BoundsMethod> BoundsMethods { get; init; } = FrozenSet<BoundsMethod>.Empty;

    /// <summary>Bounds methods available when parameters are held at a value.</summary>
    public IReadOnlySet<BoundsMethod> BoundsMethodsWithFixedParameters { get; init; } = FrozenSet<BoundsMethod>.Empty;

    /// <summary>Fits each failure mode: parameters are one set a mode, named <c>shape[mode]</c>, and fits have
    /// <see cref="IFittedLife.Modes"/>. Its log-likelihood is that of ages and modes, which compares with no other model's.</summary>
    public bool FitsFailureModes { get; init; }

    /// <summary>The model also implements <see cref="ICohortComparer"/>.</summary>
    public bool ComparesCohorts { get; init; }

    /// <summary>The model also implements <see cref="ILifePredictor"/>: predictions of single units take in how well its parameters
    /// are known. Without it predictions take the fitted parameters as known.</summary>
    public bool PredictsLives { get; init; }
}
