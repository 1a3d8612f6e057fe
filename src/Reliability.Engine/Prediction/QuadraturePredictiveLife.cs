using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Prediction;

/// <summary>Conditional reliability mixed over nodes of (u, v).</summary>
internal sealed class QuadraturePredictiveLife(
    LogTimeAxis axis, IStandardDistribution distribution, (double Weight, double U, double V)[] nodes) : PredictiveLife(axis)
{
    /// <inheritdoc/>
    protected override double Mix(double ageX, double endX, double widthX, bool ofFailure)
    {
        double sum = 0;
        foreach (var (weight, u, v) in nodes)
        {
            var from = double.IsNegativeInfinity(ageX) ? ageX : u * ageX + v;
            var hazard = distribution.LogHazardBetween(from, u * endX + v, u * widthX);

            // Not a number: two hazards that rounding puts in the wrong order, or two that are both infinite.
            var log = double.IsNaN(hazard) ? (from > 0 ? double.NegativeInfinity : 0) : -Math.Exp(hazard);
            sum += weight * (ofFailure ? -NearZero.Expm1(log) : Math.Exp(log));
        }

        return sum;
    }
}
