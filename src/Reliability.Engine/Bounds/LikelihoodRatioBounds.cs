using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds;

/// <summary>Profile-likelihood bounds, chi-square with one degree of freedom (Meeker and Escobar 1998, 8.2-8.3).</summary>
internal sealed class LikelihoodRatioBounds : IQuantityBounds
{
    /// <summary>From this many rows on, a pass over the rows costs more than working with the edge as a curve.</summary>
    private const int RowsForCurve = 1000;

    private readonly LikelihoodRegion _region;
    private readonly double _drop;
    private readonly EdgeCurve? _curve;

    /// <param name="region">The region of parameters around the maximum.</param>
    /// <param name="drop">Half the chi-square quantile of the confidence level.</param>
    /// <param name="rows">Rows of the sample.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public LikelihoodRatioBounds(LikelihoodRegion region, double drop, int rows, CancellationToken cancellationToken)
    {
        _region = region;
        _drop = drop;
        if (rows >= RowsForCurve)
            _curve = region.Curve(_drop, cancellationToken);
    }

    public FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken) =>
        (_region.Extreme(quantity, -1, _drop, _curve, cancellationToken),
            _region.Extreme(quantity, 1, _drop, _curve, cancellationToken));
}
