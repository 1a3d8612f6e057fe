using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds;

/// <summary>
/// Calibrated bounds of samples with many rows: likelihood-ratio bounds moved by one step of Newton's method towards where r* takes the
/// normal quantile. What r* adds is of the order of 1 over the root of the failures, and what one step leaves is its square.
/// </summary>
internal sealed class LargeSampleCalibratedBounds(
    IQuantityBounds likelihoodRatio, LogTimeLikelihood likelihood, ParameterSpace space, Lazy<ExpectedOutcomes?> outcomes, double level)
    : IQuantityBounds
{
    private readonly double _normal = -default(StandardNormal).Quantile((1 - level) / 2);

    public FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        var found = likelihoodRatio.Of(quantity, cancellationToken);
        var root = new AdjustedQuantityRoot(likelihood, space, quantity, outcomes.Value);
        return found with
        {
            Lower = RootCrossing.Moved(root, found.Lower, _normal, -1, cancellationToken),
            Upper = RootCrossing.Moved(root, found.Upper, _normal, 1, cancellationToken),
        };
    }
}
