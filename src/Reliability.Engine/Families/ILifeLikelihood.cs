using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>A log-likelihood of lives over the parameters of a family.</summary>
internal interface ILifeLikelihood
{
    /// <summary>The distribution.</summary>
    ILifeFamily Family { get; }

    /// <summary>The lives.</summary>
    LifeSample Sample { get; }

    /// <summary>The log-likelihood at parameters on their natural scale; negative infinity where it is not a number.</summary>
    double At(ReadOnlySpan<double> parameters, CancellationToken cancellationToken);
}
