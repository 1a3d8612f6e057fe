using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Prediction;

/// <summary>One shape of the mixture.</summary>
/// <param name="Weight">Its posterior weight.</param>
/// <param name="Shape">The shape.</param>
/// <param name="LogExposure">log of the sum of powers of ages, on the sample's axis.</param>
internal readonly record struct GammaNode(double Weight, double Shape, double LogExposure);

/// <summary>
/// Given the shape, a unit alive at a is alive at t with probability [1 + (t^shape - a^shape) / S]^-power, the mean of exp(-hazard) over
/// the Gamma distribution of the hazard; mixed over the shape.
/// </summary>
internal sealed class GammaPredictiveLife(LogTimeAxis axis, GammaNode[] nodes, double power) : PredictiveLife(axis)
{
    /// <summary>The mixture.</summary>
    public IReadOnlyList<GammaNode> Nodes => nodes;

    /// <summary>Failures and the prior's lean.</summary>
    public double Power => power;

    /// <inheritdoc/>
    protected override Func<double, double, double> Mix(double ageX, bool ofFailure) => (endX, widthX) =>
    {
        double sum = 0;
        foreach (var (weight, shape, exposure) in nodes)
        {
            var log = -power * NearZero.Log1p(Between(shape * ageX - exposure, shape * endX - exposure, shape * widthX));
            sum += weight * (ofFailure ? -NearZero.Expm1(log) : Math.Exp(log));
        }

        return sum;
    };

    private static double Between(double from, double to, double width) =>
        width == 0 ? 0 : width < 1 ? Math.Exp(from) * NearZero.Expm1(width) : Math.Exp(to) * (1 - Math.Exp(-width));
}
