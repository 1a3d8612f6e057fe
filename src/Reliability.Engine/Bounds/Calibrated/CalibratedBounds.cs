using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Bounds at which r* is the normal quantile of the level on either side. Where r* gives none, the bound comes from elsewhere and says so.
/// </summary>
/// <param name="likelihood">The likelihood.</param>
/// <param name="space">Its maximum over both parameters.</param>
/// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
/// <param name="level">Confidence level, two-sided.</param>
/// <param name="instead">What gives a bound where r* gives none; null for nothing.</param>
internal sealed class CalibratedBounds(
    LogTimeLikelihood likelihood, ParameterSpace space, ExpectedOutcomes? outcomes, double level, IBoundInstead? instead = null)
    : IQuantityBounds
{
    private readonly double _normal = -default(StandardNormal).Quantile((1 - level) / 2);

    public FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        var root = new AdjustedQuantityRoot(likelihood, space, quantity, outcomes);
        EngineWarning? note = null, other = null;
        var lower = Bound(-1);
        var upper = Bound(1);
        return new(lower, upper) { Note = note, OtherNote = other };

        double? Bound(int side)
        {
            if (RootCrossing.Outward(root, _normal, side, cancellationToken) is { } bound)
                return bound;
            var (found, why) = instead?.Bound(quantity, side, cancellationToken) ?? default;
            if (note is null)
                note = why;
            else if (why != note)
                other = why;
            return found;
        }
    }
}
