namespace Reliability.Engine.Abstractions;

/// <summary>
/// How long one more unit will last, the uncertainty of the fitted parameters taken in. Immutable; may be used from many threads.
/// Questions throw <see cref="ArgumentOutOfRangeException"/> for arguments outside the stated range.
/// </summary>
public interface IPredictiveLife
{
    /// <summary>What should be known of the distribution: what was assumed and how far to believe it.</summary>
    IReadOnlyList<EngineWarning> Warnings { get; }

    /// <summary>Probability that a unit alive at an age is alive after further hours.</summary>
    /// <param name="ageHours">Age in hours, 0 or more.</param>
    /// <param name="furtherHours">Further hours, 0 or more.</param>
    /// <returns>A probability, falling with the further hours from 1 at 0.</returns>
    double Survival(double ageHours, double furtherHours);

    /// <summary>Further hours within which a unit alive at an age fails with a given probability.</summary>
    /// <param name="ageHours">Age in hours, 0 or more.</param>
    /// <param name="failureFraction">The probability, above 0 and below 1.</param>
    /// <returns>Remaining hours (not total age), above 0; null when they are too many or too few to be written as a number.</returns>
    double? RemainingLife(double ageHours, double failureFraction);
}
