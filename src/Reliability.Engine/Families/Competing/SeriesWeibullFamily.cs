using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>
/// The least of several independent Weibull lives, one a failure mode: a series system, whose reliability is the product of the
/// modes' (Nelson 1982, ch. 5; Meeker and Escobar 1998, 15.3, from memory). Parameters are a shape and a scale for each mode.
/// </summary>
/// <param name="modes">Names of the modes.</param>
internal sealed class SeriesWeibullFamily(IReadOnlyList<string> modes) : ILifeFamily
{
    private const int MostSteps = 100;

    public string Id => "weibull-competing";

    public string DisplayName => "Competing Weibulls";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
    [
        .. modes.SelectMany(mode => new[]
        {
            ParameterDescription.Positive($"shape[{mode}]"), ParameterDescription.Positive($"scale[{mode}]", "hours"),
        }),
    ];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; } = new ProbabilityPlotScale(default(SmallestExtremeValue), "weibull");

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
        {
            var log = Math.Log(hours[i]);
            double hazard = 0, greatest = double.NegativeInfinity, sum = 0;
            for (var k = 0; k < parameters.Length; k += 2)
            {
                var z = parameters[k] * (log - Math.Log(parameters[k + 1]));
                hazard += Math.Exp(z);
                var rate = z + Math.Log(parameters[k]);
                if (rate > greatest)
                    (greatest, sum) = (rate, sum * Math.Exp(greatest - rate) + 1);
                else
                    sum += Math.Exp(rate - greatest);
            }

            result[i] = double.IsInfinity(hazard) ? double.NegativeInfinity : greatest + Math.Log(sum) - log - hazard;
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = hours[i] <= 0 ? 0 : -Hazard(parameters, Math.Log(hours[i]));
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = Math.Exp(LogAge(parameters, -NearZero.Log1p(-fractions[i])));
    }

    public double? Mean(ReadOnlySpan<double> parameters) => null;

    private static double Hazard(ReadOnlySpan<double> parameters, double logHours)
    {
        double hazard = 0;
        for (var k = 0; k < parameters.Length; k += 2)
            hazard += Math.Exp(parameters[k] * (logHours - Math.Log(parameters[k + 1])));
        return hazard;
    }

    /// <summary>Log age at a cumulative hazard. The log hazard is convex and rising in log age: from the first age at which one mode
    /// alone has that hazard Newton's steps come down to the answer.</summary>
    private static double LogAge(ReadOnlySpan<double> parameters, double hazard)
    {
        var logHazard = Math.Log(hazard);
        var at = double.PositiveInfinity;
        for (var k = 0; k < parameters.Length; k += 2)
            at = Math.Min(at, Math.Log(parameters[k + 1]) + logHazard / parameters[k]);
        for (var i = 0; i < MostSteps; i++)
        {
            double sum = 0, slope = 0;
            for (var k = 0; k < parameters.Length; k += 2)
            {
                var part = Math.Exp(parameters[k] * (at - Math.Log(parameters[k + 1])) - logHazard);
                sum += part;
                slope += parameters[k] * part;
            }

            var step = Math.Log(sum) * sum / slope;
            at -= step;
            if (!(Math.Abs(step) > 1e-15 * (1 + Math.Abs(at))))
                break;
        }

        return at;
    }
}
