namespace Reliability.Engine.Abstractions;

/// <summary>
/// What an <see cref="ILifeFamily"/> may implement besides: derivatives of its logarithms by its parameters. With them a fit takes fewer passes over the
/// lives; without them the engine takes differences, to the same answers. The same rules hold as for the family: pure, any thread, whole
/// spans. Results may be any finite number for parameters inside their domain; a derivative that is not finite makes the engine take
/// differences there.
/// </summary>
public interface IFamilyDerivatives
{
    /// <summary>Derivatives of log f(t) by each parameter, on the parameters' natural scales.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="hours">Ages in hours, above 0.</param>
    /// <param name="result">Receives, age by age, one number a parameter: that of age i and parameter k at <c>i * parameters.Length + k</c>.</param>
    void LogDensityDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result);

    /// <summary>Derivatives of log R(t) by each parameter, on the parameters' natural scales.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="hours">Ages in hours, above 0.</param>
    /// <param name="result">Receives, age by age, one number a parameter: that of age i and parameter k at <c>i * parameters.Length + k</c>.</param>
    void LogSurvivalDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result);
}
