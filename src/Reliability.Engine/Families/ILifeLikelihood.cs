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

    /// <summary>Whether its answers take journeys to another process, so that it should be told of questions before.</summary>
    bool IsDistant => false;

    /// <summary>Tells at which parameters it will be asked next. Changes no answer.</summary>
    /// <param name="members">Parameters on their natural scale, inside their domains.</param>
    void Expect(IReadOnlyList<double[]> members)
    {
    }

    /// <summary>The derivatives of the log-likelihood by the parameters on their natural scale, where they are known otherwise than by differences.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="score">Receives one number a parameter.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Whether they are known, and finite.</returns>
    bool TryScore(ReadOnlySpan<double> parameters, Span<double> score, CancellationToken cancellationToken) => false;
}
