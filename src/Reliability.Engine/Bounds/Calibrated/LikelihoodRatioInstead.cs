using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Likelihood-ratio bounds where nothing better can be had.</summary>
internal sealed class LikelihoodRatioInstead(LikelihoodRegion region, double drop) : IBoundInstead
{
    public static readonly EngineWarning Note = new(
        WarningCodes.BoundsByLikelihoodRatio,
        "A calibrated bound cannot be had here; the bound is by likelihood ratio, which holds less often than it says in small samples.");

    public (double? Bound, EngineWarning? Note) Bound(LifeQuantity quantity, int side, CancellationToken cancellationToken) =>
        (region.Extreme(quantity, side, drop, null, cancellationToken), Note);
}
