using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>A way to a bound where r* gives none.</summary>
internal interface IBoundInstead
{
    /// <summary>One bound of a quantity on its transformed scale, null where there is none, and what to say of it.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="side">-1 for the least value, +1 for the greatest.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    (double? Bound, EngineWarning? Note) Bound(LifeQuantity quantity, int side, CancellationToken cancellationToken);
}
