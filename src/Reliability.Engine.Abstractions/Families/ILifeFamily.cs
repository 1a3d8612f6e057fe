namespace Reliability.Engine.Abstractions;

/// <summary>
/// The mathematics of a life distribution, without any estimation. Methods work on whole spans and are pure: no state
/// is kept between calls and they may be called from many threads. A method fills <c>result</c>, whose length equals the
/// input's; results may be negative infinity (a log of 0) but never NaN for parameters inside their domain.
/// </summary>
public interface ILifeFamily
{
    /// <summary>Stable id, lower case with hyphens.</summary>
    string Id { get; }

    /// <summary>Name for people.</summary>
    string DisplayName { get; }

    /// <summary>Parameters, in the order of the <c>parameters</c> spans below.</summary>
    IReadOnlyList<ParameterDescription> Parameters { get; }

    /// <summary>Whether multiplying all hours by a factor only changes the parameters.</summary>
    bool ScaleEquivariant { get; }

    /// <summary>Axes on which the distribution is drawn.</summary>
    IPlotScale Plot { get; }

    /// <summary>Whether the distribution gives lives below 0 h a probability, as the normal does. Its percentile lives and
    /// its mean are then bounded on their own scale instead of the log scale, and R(0) may be below 1.</summary>
    bool HasNegativeLives => false;

    /// <summary>Ids of wider models that contain this one in the inside of their parameters, so that twice the gain of
    /// log-likelihood is referred to chi-square with as many degrees of freedom as they have parameters more.</summary>
    IReadOnlyList<string> SpecialCaseOf => [];

    /// <summary>Ids of wider models that contain this one at the border of one of their parameters, so that twice the gain of
    /// log-likelihood is referred to an even mixture of chi-square with as many degrees of freedom as they have parameters more, and one
    /// less (Self and Liang 1987, case 5).</summary>
    IReadOnlyList<string> BorderCaseOf => [];

    /// <summary>Parameters from which to start a maximisation, on their natural scale and inside their domains. An empty
    /// list leaves it to the engine, which then tries a grid of ages typical of the sample and of pure numbers around 1.</summary>
    /// <param name="sample">The lives, at least one of them failed.</param>
    /// <returns>One array a start, in the order of <see cref="Parameters"/>.</returns>
    IReadOnlyList<double[]> Starts(LifeSample sample) => [];

    /// <summary>Natural logarithm of the density per hour.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="hours">Ages in hours, above 0.</param>
    /// <param name="result">Receives log f(t).</param>
    void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result);

    /// <summary>Natural logarithm of the reliability (survival function) R = 1 - F.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="hours">Ages in hours, 0 or more; log R(0) is 0 unless there are negative lives.</param>
    /// <param name="result">Receives log R(t).</param>
    void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result);

    /// <summary>Age by which a fraction has failed: the inverse of F.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="fractions">Failed fractions, above 0 and below 1.</param>
    /// <param name="result">Receives hours; positive infinity where they exceed what a double holds.</param>
    void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result);

    /// <summary>Mean life in hours.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <returns>Hours; positive infinity when the mean does not exist; null when it is not known in closed form, and the
    /// engine integrates R instead.</returns>
    double? Mean(ReadOnlySpan<double> parameters);

    /// <summary>Mean further hours of those alive at an age. Worth giving where R has a corner, which makes the engine's integral slow.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="ageHours">Age in hours, above 0.</param>
    /// <returns>Hours; null when it is not known in closed form, and the engine integrates R instead.</returns>
    double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours) => null;
}
