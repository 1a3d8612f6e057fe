using Reliability.Engine.Quantities;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Bounds;

/// <summary>Profile-likelihood bounds, chi-square with one degree of freedom (Meeker and Escobar 1998, 8.2-8.3).</summary>
internal sealed class LikelihoodRatioBounds(LikelihoodRegion region, double level) : IQuantityBounds
{
    private readonly double _drop = ReferenceDistributions.ChiSquareQuantile(1, level) / 2;

    public (double? Lower, double? Upper) Of(LifeQuantity quantity, CancellationToken cancellationToken) =>
        (region.Extreme(quantity, -1, _drop, cancellationToken), region.Extreme(quantity, 1, _drop, cancellationToken));
}
