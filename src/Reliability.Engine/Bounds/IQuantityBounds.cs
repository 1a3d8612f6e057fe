using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds;

/// <summary>A way of making bounds.</summary>
internal interface IQuantityBounds
{
    /// <summary>Bounds of a quantity on its transformed scale.</summary>
    FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken);
}
