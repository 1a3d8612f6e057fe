using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;

namespace Reliability.Engine.Families;

/// <summary>Hours themselves normal (Meeker and Escobar 1998, 4.5). Gives lives below 0 h a probability, which is small
/// where sigma is a small part of mu.</summary>
internal sealed class NormalFamily : ILifeFamily, IFamilyDerivatives
{
    public string Id => "normal";

    public string DisplayName => "Normal";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Real("mu", "hours"), ParameterDescription.Positive("sigma", "hours")];

    public bool ScaleEquivariant => true;

    public bool HasNegativeLives => true;

    public IPlotScale Plot { get; } = new LinearProbabilityPlotScale(default(StandardNormal), "normal");

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (mu, sigma) = (parameters[0], parameters[1]);
        var logSigma = Math.Log(sigma);
        for (var i = 0; i < hours.Length; i++)
            result[i] = default(StandardNormal).LogDensity((hours[i] - mu) / sigma, out _, out _) - logSigma;
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (mu, sigma) = (parameters[0], parameters[1]);
        for (var i = 0; i < hours.Length; i++)
            result[i] = default(StandardNormal).LogSurvival((hours[i] - mu) / sigma);
    }

    public void LogDensityDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (mu, sigma) = (parameters[0], parameters[1]);
        for (var i = 0; i < hours.Length; i++)
        {
            var z = (hours[i] - mu) / sigma;
            result[2 * i] = z / sigma;
            result[2 * i + 1] = (z * z - 1) / sigma;
        }
    }

    public void LogSurvivalDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (mu, sigma) = (parameters[0], parameters[1]);
        for (var i = 0; i < hours.Length; i++)
        {
            var z = (hours[i] - mu) / sigma;
            _ = default(StandardNormal).LogSurvival(z, out var slope, out _);
            result[2 * i] = -slope / sigma;
            result[2 * i + 1] = -slope * z / sigma;
        }
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = parameters[0] + parameters[1] * default(StandardNormal).Quantile(fractions[i]);
    }

    public double? Mean(ReadOnlySpan<double> parameters) => parameters[0];

    public IReadOnlyList<double[]> Starts(LifeSample sample)
    {
        // Survivors pull both up: from the middle of all ages, with the spread of all ages or of a quarter of the middle.
        double weight = 0, sum = 0, squares = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            weight += sample.Counts[i];
            sum += sample.Counts[i] * Middle(sample, i);
        }

        var mean = sum / weight;
        for (var i = 0; i < sample.RowCount; i++)
            squares += sample.Counts[i] * Math.Pow(Middle(sample, i) - mean, 2);
        var spread = Math.Sqrt(squares / weight);
        var some = spread > 0 ? spread : mean / 4;
        return [[mean, some], [mean + some, some], [mean, mean / 4], [mean, 4 * some]];
    }

    private static double Middle(LifeSample sample, int i) => sample.LowerHours[i] / 2 + sample.UpperHours[i] / 2;
}
