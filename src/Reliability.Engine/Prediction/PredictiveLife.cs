using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Prediction;

/// <summary>A mixture of lives: probabilities by the mixture, quantiles by root finding.</summary>
internal abstract class PredictiveLife(LogTimeAxis axis) : IPredictiveLife
{
    private const int MostSteps = 200;
    private const double Tolerance = 1e-10;

    /// <inheritdoc/>
    public IReadOnlyList<EngineWarning> Warnings { get; private set; } = [];

    /// <summary>The same life, with what should be known of it.</summary>
    /// <param name="warnings">What should be known.</param>
    public PredictiveLife With(IReadOnlyList<EngineWarning> warnings)
    {
        var copy = (PredictiveLife)MemberwiseClone();
        copy.Warnings = warnings;
        return copy;
    }

    /// <inheritdoc/>
    public double Survival(double ageHours, double furtherHours)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckHours(furtherHours);
        return furtherHours == 0 ? 1 : Math.Clamp(From(ageHours, ofFailure: false)(furtherHours), 0, 1);
    }

    /// <inheritdoc/>
    public double? RemainingLife(double ageHours, double failureFraction)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckFraction(failureFraction);

        // The smaller of the two chances keeps its digits; log(-log S) is nearly a straight line in the logarithm of the hours.
        var ofFailure = failureFraction < 0.5;
        var target = LogHazard(ofFailure ? failureFraction : 1 - failureFraction);
        var within = From(ageHours, ofFailure);
        double LogHazard(double chance) => ofFailure ? Math.Log(-NearZero.Log1p(-chance)) : Math.Log(-Math.Log(chance));
        double Miss(double logHours) => LogHazard(Math.Clamp(within(Math.Exp(logHours)), 0, 1)) - target;

        var at = axis.LogReference;
        var miss = Miss(at);
        double previous = double.NaN, previousMiss = double.NaN;
        double low = double.NegativeInfinity, high = double.PositiveInfinity, lowMiss = 0, highMiss = 0;
        var side = 0;
        for (var i = 0; i < MostSteps; i++)
        {
            if (Math.Abs(miss) < Tolerance || (high - low < Tolerance * (1 + Math.Abs(at)) && double.IsFinite(high - low)))
                break;
            if (miss < 0)
            {
                if (side < 0)
                    highMiss /= 2;
                (low, lowMiss, side) = (at, miss, -1);
            }
            else
            {
                if (side > 0)
                    lowMiss /= 2;
                (high, highMiss, side) = (at, miss, 1);
            }

            var slope = (miss - previousMiss) / (at - previous);
            (previous, previousMiss) = (at, miss);
            at = Next(low, lowMiss, high, highMiss, slope > 0 && double.IsFinite(slope) ? slope : 1);
            if (Math.Abs(at) > 709)
                return null;
            miss = Miss(at);
        }

        var hours = Math.Exp(at);
        return double.IsFinite(hours) && hours > 0 ? hours : null;
    }

    /// <summary>The mean over the mixture of the chance of surviving, or of failing, from one age to others.</summary>
    /// <param name="ageX">The age on the sample's axis; negative infinity at 0 h.</param>
    /// <param name="ofFailure">The chance of failing is wanted.</param>
    /// <returns>A function, for one thread at a time, of the age at the end and of the difference, which keeps the digits of short spans.</returns>
    protected abstract Func<double, double, double> Mix(double ageX, bool ofFailure);

    /// <summary>Where to look next: along the slope until there is a bracket, then inside it.</summary>
    private static double Next(double low, double lowMiss, double high, double highMiss, double slope)
    {
        const double Past = 1.02, Least = 0.01, Most = 60;
        if (double.IsNegativeInfinity(low))
            return double.IsFinite(highMiss) ? high - Math.Clamp(Past * highMiss / slope, Least, Most) : high - 5;
        if (double.IsPositiveInfinity(high))
            return double.IsFinite(lowMiss) ? low + Math.Clamp(-Past * lowMiss / slope, Least, Most) : low + 5;
        var crossing = (low * highMiss - high * lowMiss) / (highMiss - lowMiss);
        return crossing > low && crossing < high ? crossing : (low + high) / 2;
    }

    private Func<double, double> From(double ageHours, bool ofFailure)
    {
        var mix = Mix(ageHours == 0 ? double.NegativeInfinity : axis.ToX(ageHours), ofFailure);
        return further => mix(
            axis.ToX(ageHours + further), ageHours == 0 ? double.PositiveInfinity : NearZero.Log1p(further / ageHours));
    }
}
