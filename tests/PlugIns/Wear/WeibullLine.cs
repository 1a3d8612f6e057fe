using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Wear;

/// <summary>The Weibull distribution of the estimator, plainly written.</summary>
public sealed class WeibullLine : ILifeFamily
{
    public string Id => "median-rank-weibull";

    public string DisplayName => "Weibull by median ranks";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Positive("shape"), ParameterDescription.Positive("scale", "hours")];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; } = new LinearHazardScale();

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
        {
            var log = Math.Log(hours[i] / parameters[1]);
            result[i] = Math.Log(parameters[0]) + parameters[0] * log - Math.Log(hours[i]) - Math.Exp(parameters[0] * log);
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = -Math.Pow(hours[i] / parameters[1], parameters[0]);
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = parameters[1] * Math.Pow(-Math.Log(1 - fractions[i]), 1 / parameters[0]);
    }

    public double? Mean(ReadOnlySpan<double> parameters) => null;
}
