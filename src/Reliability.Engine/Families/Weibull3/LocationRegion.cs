using Reliability.Engine.Bounds;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Families;

/// <summary>
/// Bounds by likelihood ratio under a Weibull with location, shape 1 or more and location 0 or more: the extreme of a quantity
/// over the parameters whose log-likelihood lies within a drop of the maximum, looked for location by location. So the borders
/// of shape and location are part of the search, which no walk along a smooth edge could turn around.
/// </summary>
internal sealed class LocationRegion : IFamilyBounds
{
    private const double GreatestLogShape = 14;
    private const double Outside = -1e100;
    private const double Fineness = 1e-6, Near = 1e-9;
    private const int MostSteps = 60;

    // Places between the ends at which every search begins.
    private static readonly double[] Places = [0, 0.03, 0.25, 0.5, 0.75, 0.97, 1];

    private readonly LocationProfile _profile;
    private readonly ShapeAndScale _estimate;
    private readonly double _floor;
    private readonly double _low;
    private readonly double _width;
    private readonly Slice[] _begins;

    /// <param name="profile">The likelihood by location.</param>
    /// <param name="estimate">The maximum.</param>
    /// <param name="drop">How far the log-likelihood may fall, above 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public LocationRegion(LocationProfile profile, ShapeAndScale estimate, double drop, CancellationToken cancellationToken)
    {
        _profile = profile;
        _estimate = estimate;
        _floor = estimate.Value - drop;
        _low = End(0, cancellationToken);
        _width = End(profile.Last, cancellationToken) - _low;
        double[] locations = [.. Places.Select(place => _low + place * _width), estimate.Location];
        _begins =
        [
            .. locations.Distinct().Order().Select(location => SliceAt(location, cancellationToken)).OfType<Slice>(),
        ];
    }

    public FamilyBound Extreme(FamilyQuantity quantity, int sign, CancellationToken cancellationToken)
    {
        var endless = false;
        double? Gain(Slice? slice)
        {
            if (slice is null)
                return Outside;
            var gain = Greatest(slice, quantity, sign, cancellationToken);
            endless |= gain is null;
            return gain;
        }

        var best = Outside;
        var at = 0;
        for (var i = 0; i < _begins.Length; i++)
        {
            if (Gain(_begins[i]) is not { } gain)
                return FamilyBound.Endless;
            if (gain > best)
                (best, at) = (gain, i);
        }

        if (_begins.Length > 1)
        {
            var from = _begins[Math.Max(at - 1, 0)].At.Location;
            var to = _begins[Math.Min(at + 1, _begins.Length - 1)].At.Location;
            var middle = _begins[at].At.Location;
            if (middle <= from || middle >= to)
                middle = from + (middle <= from ? 0.1 : 0.9) * (to - from);
            double Place(double location) => (location - _low) / _width;
            if (Peak.Find(
                place => Gain(SliceAt(_low + place * _width, cancellationToken)), Place(from), Place(middle), Place(to), Fineness) is not { } peak)
            {
                return endless ? FamilyBound.Endless : FamilyBound.NotFound;
            }

            best = Math.Max(best, peak.Value);
        }

        return best > Outside ? FamilyBound.At(sign * best) : FamilyBound.NotFound;
    }

    /// <summary>How far on one side the best Weibull at each location is likely enough, without a valley on the way.</summary>
    private double End(double outer, CancellationToken cancellationToken)
    {
        double? Left(double location) => _profile.At(location, cancellationToken)?.Value - _floor;
        var inside = _estimate.Location;
        for (var k = 1; k <= 8; k++)
        {
            var location = k == 8 ? outer : _estimate.Location + k / 8.0 * (outer - _estimate.Location);
            if (!(Left(location) >= 0))
                return Crossing(Left, inside, location, Near * _profile.Last);
            inside = location;
        }

        return outer;
    }

    private Slice? SliceAt(double location, CancellationToken cancellationToken)
    {
        var at = location == _estimate.Location ? _estimate : _profile.At(location, cancellationToken);
        if (at is null || at.Value < _floor)
            return null;
        return new Slice(
            at, at.Maximum.IsOneParameter || Maximum(at, LocationProfile.LeastShape, cancellationToken)?.Value >= _floor);
    }

    /// <summary>Where the log shape ends on one side: at the limit, or where the likelihood has fallen far enough.</summary>
    private double ShapeEnd(ShapeAndScale at, double limit, CancellationToken cancellationToken)
    {
        var start = Math.Log(at.Shape);
        if (start == limit)
            return limit;
        double? Left(double logShape) => Maximum(at, Math.Exp(logShape), cancellationToken)?.Value - _floor;
        var (inside, step) = (start, Math.Sign(limit - start) * 0.2);
        for (var i = 0; i < MostSteps; i++, step *= 1.7)
        {
            var next = Math.Sign(step) * (inside + step - limit) >= 0 ? limit : inside + step;
            if (!(Left(next) >= 0))
                return Crossing(Left, inside, next, Near);
            inside = next;
            if (next == limit)
                break;
        }

        return inside;
    }

    /// <summary>The greatest gain at one location; null when it has no end.</summary>
    private double? Greatest(Slice slice, FamilyQuantity quantity, int sign, CancellationToken cancellationToken)
    {
        var at = slice.At;
        var left = at.Value - _floor;
        if (!slice.ReachesLeastShape && left > 1e-6)
        {
            // Clear of the limit of shapes the edge is smooth.
            var region = new LikelihoodRegion(at.Likelihood, new ParameterSpace(at.Likelihood.Distribution, at.Likelihood.Sample.Axis, at.Maximum));
            var plain = new LifeQuantity(quantity.Scale, life => quantity.Transformed(at.NaturalAt(life.U, life.V)));
            if (region.Extreme(plain, sign, left, null, cancellationToken) is { } extreme)
                return sign * extreme;
        }

        double? Gain(double logShape) => OverScales(at, Math.Exp(logShape), quantity, sign, cancellationToken);
        var start = Math.Log(at.Shape);
        var low = ShapeEnd(at, Math.Log(LocationProfile.LeastShape), cancellationToken);
        var high = ShapeEnd(at, GreatestLogShape, cancellationToken);
        if (high >= GreatestLogShape)
            return null;
        if (Gain(start) is not { } atStart || Gain(low) is not { } atLow || Gain(high) is not { } atHigh)
            return null;
        var best = Math.Max(atStart, Math.Max(atLow, atHigh));
        if (high - low < Near)
            return best;
        var middle = start > low && start < high ? start : low + (high - low) / 3;
        return Peak.Find(Gain, low, middle, high, Fineness) is { } peak ? Math.Max(best, peak.Value) : null;
    }

    /// <summary>The greater gain of the two ends of the scale at one location and shape; null when an end is not there.</summary>
    private double? OverScales(ShapeAndScale at, double shape, FamilyQuantity quantity, int sign, CancellationToken cancellationToken)
    {
        if (Maximum(at, shape, cancellationToken) is not { } maximum)
            return Outside;
        double Gain(double v) => sign * quantity.Transformed(at.NaturalAt(shape, v));
        var left = maximum.Value - _floor;
        if (left < 1e-12 * (1 + Math.Abs(_floor)))
            return left < -1e-6 ? Outside : Number(Gain(maximum.V));
        var space = new ParameterSpace(at.Likelihood.Distribution, at.Likelihood.Sample.Axis, maximum);
        var (lower, upper) = new LikelihoodRegion(at.Likelihood, space).LocationEnds(left, cancellationToken);
        return lower is { } l && upper is { } u ? Number(Math.Max(Gain(l), Gain(u))) : null;
    }

    private static double? Number(double gain) => double.IsNaN(gain) ? null : Math.Clamp(gain, Outside / 2, -Outside);

    private static Maximum? Maximum(ShapeAndScale at, double shape, CancellationToken cancellationToken) =>
        shape == at.Shape && at.Maximum.IsOneParameter
            ? at.Maximum
            : Maximiser.MaximiseLocation(at.Likelihood, shape, cancellationToken).TryGet(out var found, out _) ? found : null;

    /// <summary>The last place at which something is not negative, between one where it is not and one where it is, or is
    /// nothing at all: false position with halved weights (Dowell and Jarratt 1971, from memory), bisection where there is no value.</summary>
    private static double Crossing(Func<double, double?> f, double inside, double outside, double tolerance)
    {
        double? atInside = f(inside), atOutside = f(outside);
        for (var i = 0; i < MostSteps && Math.Abs(outside - inside) > tolerance; i++)
        {
            var share = atInside is { } a && atOutside is { } b && double.IsFinite(b) && i % 4 != 3 ? a / (a - b) : 0.5;
            var next = inside + Math.Clamp(share, 1e-3, 1 - 1e-3) * (outside - inside);
            var there = f(next);
            if (Math.Abs(there ?? 1) < 1e-12)
                return next;
            if (there >= 0)
            {
                (inside, atInside) = (next, there);
                atOutside /= 2;
            }
            else
            {
                (outside, atOutside) = (next, there);
                atInside /= 2;
            }
        }

        return inside;
    }

    /// <summary>What is likely enough at one location.</summary>
    /// <param name="At">The best Weibull there.</param>
    /// <param name="ReachesLeastShape">Whether the least shape that is allowed is likely enough, too.</param>
    private sealed record Slice(ShapeAndScale At, bool ReachesLeastShape);
}
