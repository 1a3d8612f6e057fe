using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>The Weibull of t - location, the location an age before which nothing fails (Lawless 2003, 1.3; Meeker and Escobar
/// 1998, 5.10, from memory).</summary>
internal sealed class Weibull3Family : ILifeFamily
{
    public string Id => "weibull3";

    public string DisplayName => "Weibull with location";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
    [
        ParameterDescription.Positive("shape"),
        ParameterDescription.Positive("scale", "hours"),
        new("location", "hours", 0, double.PositiveInfinity, ParameterTransform.Identity) { IncludesLower = true },
    ];

    public bool ScaleEquivariant => true;

    /// <summary>Straight on Weibull axes where the location is 0.</summary>
    public IPlotScale Plot { get; } = new ProbabilityPlotScale(default(SmallestExtremeValue), "weibull");

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (shape, logScale, location) = (parameters[0], Math.Log(parameters[1]), parameters[2]);
        for (var i = 0; i < hours.Length; i++)
        {
            if (hours[i] <= location)
            {
                result[i] = double.NegativeInfinity;
                continue;
            }

            var log = Math.Log(hours[i] - location);
            result[i] = default(SmallestExtremeValue).LogDensity(shape * (log - logScale), out _, out _) + Math.Log(shape) - log;
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (shape, logScale, location) = (parameters[0], Math.Log(parameters[1]), parameters[2]);
        for (var i = 0; i < hours.Length; i++)
        {
            result[i] = hours[i] <= location
                ? 0
                : default(SmallestExtremeValue).LogSurvival(shape * (Math.Log(hours[i] - location) - logScale));
        }
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = parameters[2] + parameters[1] * Math.Pow(-NearZero.Log1p(-fractions[i]), 1 / parameters[0]);
    }

    public double? Mean(ReadOnlySpan<double> parameters) =>
        parameters[2] + parameters[1] * Math.Exp(MathNet.Numerics.SpecialFunctions.GammaLn(1 + 1 / parameters[0]));

    public double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours)
    {
        var (shape, scale, location) = (parameters[0], parameters[1], parameters[2]);
        return ageHours <= location
            ? Mean(parameters) - ageHours
            : scale * Math.Exp(default(SmallestExtremeValue).LogMeanRemaining(1 / shape, shape * Math.Log((ageHours - location) / scale)));
    }
}
