using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds;

/// <summary>
/// Bounds that follow from bounds of v when u is held: every quantity is then monotone in v. A null end gives one-sided bounds.
/// </summary>
internal sealed class LocationBounds(
    IStandardDistribution distribution, LogTimeAxis axis, double u, double? lowerV, double? upperV) : IQuantityBounds
{
    /// <summary>What to say of the bounds; null for nothing.</summary>
    public EngineWarning? Note { get; init; }

    public FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        var atLower = At(quantity, lowerV);
        var atUpper = At(quantity, upperV);
        return (quantity.RisesWithV ? new FoundBounds(atLower, atUpper) : new FoundBounds(atUpper, atLower)) with { Note = Note };
    }

    private double? At(LifeQuantity quantity, double? v)
    {
        if (v is not { } value)
            return null;
        var transformed = quantity.Transformed(new LogTimeLife(distribution, axis, u, value));
        return double.IsFinite(transformed) ? transformed : null;
    }
}
