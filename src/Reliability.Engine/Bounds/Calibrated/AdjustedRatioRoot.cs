namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// r* of the difference of a quantity between two independent cohorts on the scale of its bounds: of its log ratio for lives. The moments
/// of two cohorts stand side by side; what is free at a value of the difference is either's log u and where both quantities lie together
/// (Skovgaard 1996 with three nuisance parameters).
/// </summary>
/// <param name="above">The cohort whose quantity counts up.</param>
/// <param name="below">The cohort whose quantity counts down.</param>
internal sealed class AdjustedRatioRoot(ProfiledCohort above, ProfiledCohort below)
    : AdjustedRoot(above.Estimate - below.Estimate, Math.Sqrt(above.Error * above.Error + below.Error * below.Error))
{
    private const int Iterations = 60;
    private const double Settled = 1e-8;

    protected override RootAt? RootAt(double value, CancellationToken cancellationToken)
    {
        if (Together(value, cancellationToken) is not (var place, var up, var down))
            return null;
        var fall = above.Greatest + below.Greatest - up.Value - down.Value;
        var root = Math.Sign(Estimate - value) * Math.Sqrt(Math.Max(0, 2 * fall));
        if (above.Curvature(value + place, cancellationToken) is not { } upCurvature
            || below.Curvature(place, cancellationToken) is not { } downCurvature)
            return null;
        var (upAlong, upFactor) = above.Departure(up);
        var (downAlong, downFactor) = below.Departure(down);
        return new(root, (upAlong - downAlong) * upFactor * downFactor / Math.Sqrt(upCurvature + downCurvature));
    }

    /// <summary>The quantity of the lower cohort at which both profiles together are highest: where their slopes cancel.</summary>
    private (double Place, ConstrainedFit Up, ConstrainedFit Down)? Together(double value, CancellationToken cancellationToken)
    {
        var share = below.Error * below.Error / (Error * Error);
        var place = below.Estimate + (Estimate - value) * share;

        // The joint profile is steep by 1 / s^2 with s the error of the place when the difference is held.
        var scale = above.Error * below.Error / Error;
        double low = double.NegativeInfinity, high = double.PositiveInfinity, before = double.NaN, beforeSlope = double.NaN;
        for (var i = 0; i < Iterations; i++)
        {
            if (above.At(value + place, cancellationToken) is not { } up || below.At(place, cancellationToken) is not { } down)
                return null;
            var slope = above.Slope(up) + below.Slope(down);
            if (!double.IsFinite(slope))
                return null;
            if (Math.Abs(slope) * scale < Settled)
                return (place, up, down);
            if (slope > 0)
                low = place;
            else
                high = place;
            var next = place - slope * (place - before) / (slope - beforeSlope);
            if (double.IsNaN(before) || !(slope - beforeSlope < 0 == place - before > 0))
                next = place + slope * scale * scale;
            next = Math.Clamp(next, place - 3 * scale, place + 3 * scale);
            if (!(next > low && next < high))
                next = (low + high) / 2;
            (before, beforeSlope, place) = (place, slope, next);
        }

        return null;
    }
}
