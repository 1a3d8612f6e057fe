using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>
/// A share of lives that fail early and the others that wear out, a Weibull each (Meeker and Escobar 1998, 5.12.1, from memory). With the
/// two exchanged the distribution is the same; the engine names the one with the earlier median the early one.
/// </summary>
internal sealed class WeibullMixtureFamily : ILifeFamily
{
    private const int MostSteps = 200;

    public string Id => "weibull-mixture2";

    public string DisplayName => "Mixture of two Weibulls";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
    [
        new("early_share", "", 0, 1, ParameterTransform.Logit),
        ParameterDescription.Positive("early_shape"),
        ParameterDescription.Positive("early_scale", "hours"),
        ParameterDescription.Positive("late_shape"),
        ParameterDescription.Positive("late_scale", "hours"),
    ];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; } = new ProbabilityPlotScale(default(SmallestExtremeValue), "weibull");

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (early, late) = (WeightedWeibull.Early(parameters), WeightedWeibull.Late(parameters));
        for (var i = 0; i < hours.Length; i++)
        {
            var log = Math.Log(hours[i]);
            result[i] = LogSum(early.LogDensity(log), late.LogDensity(log));
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (early, late) = (WeightedWeibull.Early(parameters), WeightedWeibull.Late(parameters));
        for (var i = 0; i < hours.Length; i++)
            result[i] = hours[i] <= 0 ? 0 : LogSurvivalAt(early, late, Math.Log(hours[i]));
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        var (early, late) = (WeightedWeibull.Early(parameters), WeightedWeibull.Late(parameters));
        for (var i = 0; i < fractions.Length; i++)
        {
            // Between the quantiles of the two; the log hazard rises with log age.
            var logHazard = Math.Log(-NearZero.Log1p(-fractions[i]));
            double first = early.LogAge(logHazard), second = late.LogAge(logHazard);
            var (low, high) = (Math.Min(first, second), Math.Max(first, second));
            double Miss(double at) => Math.Log(-LogSurvivalAt(early, late, at)) - logHazard;
            double atLow = Miss(low), atHigh = Miss(high);
            for (var k = 0; k < MostSteps && high - low > 4e-16 * Math.Max(1, Math.Abs(low)); k++)
            {
                var share = k % 3 == 2 || !double.IsFinite(atLow - atHigh) ? 0.5 : atLow / (atLow - atHigh);
                var middle = low + Math.Clamp(share, 1e-3, 0.999) * (high - low);
                if (middle <= low || middle >= high)
                    break;
                var miss = Miss(middle);
                if (miss < 0)
                    (low, atLow) = (middle, miss);
                else
                    (high, atHigh) = (middle, miss);
            }

            result[i] = Math.Exp(Math.Abs(atLow) < Math.Abs(atHigh) ? low : high);
        }
    }

    public double? Mean(ReadOnlySpan<double> parameters) =>
        parameters[0] * WeightedWeibull.Early(parameters).Mean + (1 - parameters[0]) * WeightedWeibull.Late(parameters).Mean;

    public double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours)
    {
        // Those alive are a mixture too.
        var (early, late) = (WeightedWeibull.Early(parameters), WeightedWeibull.Late(parameters));
        var log = Math.Log(ageHours);
        var (logEarly, logLate) = (early.LogSurvival(log), late.LogSurvival(log));
        var all = LogSum(logEarly, logLate);
        return Math.Exp(LogSum(logEarly + early.LogMeanRemaining(log), logLate + late.LogMeanRemaining(log)) - all);
    }

    private static double LogSurvivalAt(in WeightedWeibull early, in WeightedWeibull late, double log)
    {
        // Near 0 h both have failed shares near 0, and their sum keeps its digits where the sum of what is left would not.
        var failed = Math.Exp(early.LogFailed(log)) + Math.Exp(late.LogFailed(log));
        return failed < 0.5 ? NearZero.Log1p(-failed) : LogSum(early.LogSurvival(log), late.LogSurvival(log));
    }

    private static double LogSum(double a, double b)
    {
        var greater = Math.Max(a, b);
        return double.IsInfinity(greater) ? greater : greater + NearZero.Log1p(Math.Exp(Math.Min(a, b) - greater));
    }
}
