namespace Reliability.Engine.Abstractions;

/// <summary>
/// A life model fitted to a sample, ready to be asked. Immutable; may be used from many threads. Questions throw
/// <see cref="ArgumentOutOfRangeException"/> for arguments outside the stated range and
/// <see cref="OperationCanceledException"/> when cancelled; a number that does not exist comes back as null with a note.
/// Bounds are those of <see cref="BoundsMethod"/> at <see cref="ConfidenceLevel"/>; when no life failed there are no
/// values, only one-sided bounds at that level.
/// </summary>
public interface IFittedLife
{
    /// <summary>The model that was fitted.</summary>
    LifeModelDescription Model { get; }

    /// <summary>Method behind the bounds. May differ from the one asked for where only one exists (no failures: exact).</summary>
    BoundsMethod BoundsMethod { get; }

    /// <summary>Confidence level of the bounds.</summary>
    double ConfidenceLevel { get; }

    /// <summary>Parameters in the model's order.</summary>
    IReadOnlyList<ParameterEstimate> Parameters { get; }

    /// <summary>Covariance of the parameter estimates on the natural scale (inverse observed information), row-major over
    /// <see cref="Parameters"/>, 0 in the rows of fixed ones; empty when there is no estimate.</summary>
    IReadOnlyList<double> Covariance { get; }

    /// <summary>Log-likelihood at the estimate: of the times themselves, not of their logarithms; null when there is no estimate.</summary>
    double? LogLikelihood { get; }

    /// <summary>The distribution that was fitted, over <see cref="Parameters"/>; null where the model's own <see cref="ILifeModel.Family"/> is it.</summary>
    ILifeFamily? Family => null;

    /// <summary>The failure modes of a model that fits them; empty for others.</summary>
    IReadOnlyList<IFittedMode> Modes => [];

    /// <summary>What the bounds took for granted about when lives would have been stopped; null where they do not depend on it.</summary>
    ObservationPlan? Plan => null;

    /// <summary>What the bounds rest on where they were simulated; null where they were not.</summary>
    SimulatedBounds? Simulation => null;

    /// <summary>
    /// Parameters corrected for their bias in small samples, by name, beside the maximum-likelihood ones: median-unbiased, that is too
    /// great as often as too small, as the value at which the modified signed root r* is 0 (Giummolè and Ventura 2002 for estimates
    /// from such roots, from memory). Empty where there is no correction.
    /// </summary>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Values on the natural scale.</returns>
    IReadOnlyDictionary<string, double> MedianUnbiased(CancellationToken cancellationToken = default) =>
        System.Collections.Frozen.FrozenDictionary<string, double>.Empty;

    /// <summary>What holds for the whole fit: few failures, heavy censoring, assumptions.</summary>
    IReadOnlyList<EngineWarning> Warnings { get; }

    /// <summary>Mean life in hours.</summary>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Hours, with bounds.</returns>
    BoundedEstimate Mean(CancellationToken cancellationToken = default);

    /// <summary>Age by which a fraction has failed (0.10 gives B10 life).</summary>
    /// <param name="failureFraction">Failed fraction, above 0 and below 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Hours, with bounds.</returns>
    BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default);

    /// <summary>Probability of surviving to an age.</summary>
    /// <param name="hours">Age in hours, 0 or more.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Probability, with bounds.</returns>
    BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default);

    /// <summary>Probability of surviving a further horizon given survival to an age: R(age + horizon) / R(age).</summary>
    /// <param name="ageHours">Age in hours, 0 or more.</param>
    /// <param name="horizonHours">Further hours, 0 or more.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Probability, with bounds.</returns>
    BoundedEstimate ConditionalReliability(double ageHours, double horizonHours, CancellationToken cancellationToken = default);

    /// <summary>Further hours by which a fraction of those alive at an age will have failed (0.5 gives the median remaining life).</summary>
    /// <param name="ageHours">Age in hours, 0 or more.</param>
    /// <param name="failureFraction">Fraction of those alive at that age, above 0 and below 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Remaining hours (not total age), with bounds for the percentile; the parameters' uncertainty is in the
    /// bounds, not in the value.</returns>
    BoundedEstimate RemainingLife(double ageHours, double failureFraction, CancellationToken cancellationToken = default);

    /// <summary>Mean further hours of those alive at an age.</summary>
    /// <param name="ageHours">Age in hours, 0 or more.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Remaining hours (not total age), with bounds.</returns>
    BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default);

    /// <summary>The fitted line with its bounds, in the model's own plot coordinates.</summary>
    /// <param name="hours">Ages in hours, each above 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>One point an age, in the order given.</returns>
    IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default);
}
