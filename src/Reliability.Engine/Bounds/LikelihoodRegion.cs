using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds;

/// <summary>
/// The region of parameters whose log-likelihood lies within a drop of the maximum. The least and the greatest value of
/// a quantity over it are its profile-likelihood bounds: {psi : l_max - max over l given psi &lt;= drop}
/// (Meeker and Escobar 1998, 8.2-8.3; the same set, reached along its edge instead of along psi).
/// </summary>
/// <remarks>
/// The edge is followed as a curve radius(angle) in the units of <see cref="ParameterSpace"/>. On it a quantity has its
/// extreme where its derivative along the edge is 0; an error in the angle matters to second order only.
/// </remarks>
internal sealed class LikelihoodRegion(LogTimeLikelihood likelihood, ParameterSpace space)
{
    private const double FarAway = 1e7;
    private const int MaximumSteps = 80;
    private const int MaximumHalvings = 10;
    private const double SlopeTolerance = 1e-6;

    /// <summary>The extreme of a quantity over the region.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="sign">+1 for the greatest transformed value, -1 for the least.</param>
    /// <param name="drop">Fall of the log-likelihood at the edge, above 0.</param>
    /// <param name="curve">The edge at that drop where it is known as a curve; null to find it by the likelihood.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The transformed value, or null when the region reaches without end in that direction.</returns>
    public double? Extreme(
        LifeQuantity quantity, int sign, double drop, EdgeCurve? curve, CancellationToken cancellationToken)
    {
        if (space.Maximum.IsOneParameter)
        {
            var (lowerV, upperV) = LocationEnds(drop, cancellationToken);
            return (sign > 0) == quantity.RisesWithV ? At(upperV) : At(lowerV);

            double? At(double? v) => v is { } end ? Finite(quantity.Transformed(space.LifeAtV(end))) : null;
        }

        var centre = quantity.Transformed(space.LifeAt(0, 0));
        var (a, b) = space.Gradient(quantity, 0, 0);
        var angle = Math.Atan2(sign * b, sign * a);
        if (!double.IsFinite(angle) || Probe(quantity, sign, centre, angle, drop, null, curve, cancellationToken) is not { } at)
            return null;

        // The slope falls through 0 at the extreme: it lies between a probe with positive and one with negative slope.
        EdgeProbe? before = null, after = null, previous = null;
        for (var i = 0; i < MaximumSteps; i++)
        {
            if (Math.Abs(at.Slope) <= SlopeTolerance * Math.Abs(at.Gain))
                return Finite(centre + sign * at.Gain);
            if (at.Slope > 0)
                before = at;
            else
                after = at;
            if (before is { } left && after is { } right && Math.Abs(right.Angle - left.Angle) < 1e-13)
                return Finite(centre + sign * at.Gain);

            var next = NextAngle(at, previous, before, after);
            var probed = Probe(quantity, sign, centre, next, drop, at.Radius, curve, cancellationToken);
            for (var halvings = 0; probed is null && halvings < MaximumHalvings; halvings++)
            {
                next = at.Angle + (next - at.Angle) / 2;
                probed = Probe(quantity, sign, centre, next, drop, at.Radius, curve, cancellationToken);
            }

            if (probed is not { } found || Math.Abs(next - angle) > Math.PI)
                return null;
            previous = at;
            at = found;
        }

        return null;
    }

    /// <summary>The edge at a drop as a curve; null when it has no end somewhere or is not smooth enough.</summary>
    public EdgeCurve? Curve(double drop, CancellationToken cancellationToken)
    {
        var near = Math.Sqrt(2 * drop);
        return EdgeCurve.Interpolate(
            angle =>
            {
                if (EdgeAt(angle, drop, near, cancellationToken) is not { } edge)
                    return null;
                near = edge.Radius;
                return near;
            },
            1e-10 + Rounding(drop));
    }

    /// <summary>The least and the greatest v within a drop when u is held; null where there is no end.</summary>
    public (double? Lower, double? Upper) LocationEnds(double drop, CancellationToken cancellationToken)
    {
        double? End(int direction) =>
            EdgeAt(direction * Math.PI / 2, drop, Math.Sqrt(2 * drop), cancellationToken) is { } edge
                ? space.V(0, direction * edge.Radius)
                : null;

        return (End(-1), End(1));
    }

    /// <summary>How much the rounding of the log-likelihood moves the edge, relative to its radius.</summary>
    private double Rounding(double drop) => 8e-16 * Math.Abs(space.Maximum.Value) / drop;

    private static double NextAngle(EdgeProbe at, EdgeProbe? previous, EdgeProbe? before, EdgeProbe? after)
    {
        if (previous is { } last)
        {
            var curvature = (at.Slope - last.Slope) / (at.Angle - last.Angle);
            var secant = at.Angle - at.Slope / curvature;
            if (curvature < 0 && Math.Abs(secant - at.Angle) < 1)
            {
                if (before is null || after is null)
                    return secant;
                if (secant > Math.Min(before.Value.Angle, after.Value.Angle)
                    && secant < Math.Max(before.Value.Angle, after.Value.Angle))
                {
                    return secant;
                }
            }

            if (before is { } left && after is { } right)
                return (left.Angle + right.Angle) / 2;
        }

        // On a circle with a linear quantity, gain = c cos(d) and slope = c sin(d) at angle d before the extreme.
        return at.Angle + Math.Clamp(Math.Atan2(at.Slope, Math.Max(at.Gain, double.Epsilon)), -0.7, 0.7);
    }

    private EdgeProbe? Probe(
        LifeQuantity quantity, int sign, double centre, double angle, double drop, double? radiusNear, EdgeCurve? curve,
        CancellationToken cancellationToken)
    {
        double radius, radiusSlope;
        var (sin, cos) = Math.SinCos(angle);
        if (curve is not null)
        {
            (radius, radiusSlope) = curve.At(angle);
        }
        else if (EdgeAt(angle, drop, radiusNear ?? Math.Sqrt(2 * drop), cancellationToken) is { } edge)
        {
            // On the edge the likelihood is constant: its gradient is square to the edge's direction.
            radius = edge.Radius;
            var outward = edge.GradientA * cos + edge.GradientB * sin;
            var across = edge.GradientB * cos - edge.GradientA * sin;
            radiusSlope = -radius * across / outward;
        }
        else
        {
            return null;
        }

        var a = radius * cos;
        var b = radius * sin;
        var gain = sign * (quantity.Transformed(space.LifeAt(a, b)) - centre);
        var (psiA, psiB) = space.Gradient(quantity, a, b);
        var slope = sign * (radiusSlope * (psiA * cos + psiB * sin) + radius * (psiB * cos - psiA * sin));
        return double.IsFinite(gain) && double.IsFinite(slope)
            ? new EdgeProbe(angle, radius, gain, slope)
            : null;
    }

    /// <summary>Where a ray leaves the region, by Newton's method on the signed root sqrt(2 (l_max - l)), kept in a bracket.</summary>
    private Edge? EdgeAt(double angle, double drop, double start, CancellationToken cancellationToken)
    {
        var (sin, cos) = Math.SinCos(angle);
        var target = Math.Sqrt(2 * drop);
        var greatest = space.Maximum.Value;
        var tolerance = 1e-11 + Rounding(drop);
        double inside = 0, outside = double.PositiveInfinity, radius = start;
        for (var i = 0; i < MaximumSteps; i++)
        {
            var a = radius * cos;
            var b = radius * sin;
            var point = likelihood.Evaluate(space.U(a), space.V(a, b), cancellationToken);
            double next;
            if (point.IsFinite)
            {
                var root = Math.Sqrt(2 * Math.Max(greatest - point.Value, 0));
                var (gradientA, gradientB) = space.Gradient(point);
                var outward = gradientA * cos + gradientB * sin;
                if (root < target)
                    inside = radius;
                else
                    outside = radius;
                next = outward < 0 ? radius + (target - root) * root / -outward : double.NaN;

                // The bracket closes on the edge even where rounding keeps the step from shrinking.
                if (root > 0.5 * target
                    && (Math.Abs(next - radius) <= tolerance * radius || outside - inside <= 1e-10 * radius))
                {
                    return new Edge(radius, gradientA, gradientB);
                }
            }
            else
            {
                outside = radius;
                next = double.NaN;

                // The ray runs into the end of the parameters' domain before the likelihood has fallen far enough.
                if (outside - inside < 1e-6 * outside)
                    return null;
            }

            if (!(next > inside && next < outside))
                next = double.IsInfinity(outside) ? 2 * radius : (inside + outside) / 2;
            if (next > FarAway * target)
                return null;
            radius = next;
        }

        return null;
    }

    private static double? Finite(double value) => double.IsFinite(value) ? value : null;

    private readonly record struct Edge(double Radius, double GradientA, double GradientB);

    private readonly record struct EdgeProbe(double Angle, double Radius, double Gain, double Slope);
}
