using Reliability.Engine.Quantities;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Bounds;

/// <summary>Estimate plus and minus a normal quantile of standard errors, on the transformed scale (Meeker and Escobar 1998, 8.4).</summary>
internal sealed class NormalApproximationBounds(ParameterSpace space, double level) : IQuantityBounds
{
    private readonly double _multiple = ReferenceDistributions.TwoSidedNormal(level);

    public FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        var centre = quantity.Transformed(space.LifeAt(0, 0));
        var half = _multiple * space.StandardError(quantity);
        return double.IsFinite(centre) && double.IsFinite(half) ? (centre - half, centre + half) : (null, null);
    }
}
