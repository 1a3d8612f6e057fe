using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Families;

/// <summary>
/// The likelihood of a Weibull with location as a function of the location alone: at each location the lives less the location
/// are fitted by a Weibull with a shape of 1 or more. Without that limit the likelihood grows without end as the location
/// comes up to the first failure with a shape below 1 (Meeker and Escobar 1998, 11.4, from memory, for the trap).
/// </summary>
/// <param name="sample">The lives, at least one of them failed.</param>
internal sealed class LocationProfile(LifeSample sample)
{
    /// <summary>The least shape that is allowed.</summary>
    public const double LeastShape = 1;

    // Locations looked at, as parts of the first failure; close to it the profile is steepest.
    private static readonly double[] Shares =
        [0, 1e-3, 0.02, 0.06, 0.12, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.87, 0.92, 0.95, 0.97, 0.985, 0.993, 0.997, 0.999, 0.9997, 0.9999];

    /// <summary>As near the first failure as locations are taken, as a part of it.</summary>
    private const double LastShare = 1 - 1e-7;

    /// <summary>The greatest location that is looked at: as good as the age by which the first life had failed.</summary>
    public double Last { get; } = LastShare * sample.EarliestFailureHours;

    /// <summary>The Weibull at a location; null where it has no maximum.</summary>
    public ShapeAndScale? At(double location, CancellationToken cancellationToken)
    {
        if (ShiftedLives.By(sample, location) is not { } shifted)
            return null;
        var likelihood = LogTimeLikelihood.Create<SmallestExtremeValue>(shifted);
        var found = Estimability.OfBothParameters(shifted) is null ? Maximiser.Maximise(likelihood, cancellationToken) : null;
        if (found is null || !found.TryGet(out var maximum, out _) || maximum.U < LeastShape)
        {
            // A shape that runs to infinity is no maximum; one below the limit ends at the limit.
            if (found is null && !sample.HasIntervals)
                return null;
            if (Estimability.OfScale(shifted) is not null
                || !Maximiser.MaximiseLocation(likelihood, LeastShape, cancellationToken).TryGet(out maximum, out _))
            {
                return null;
            }
        }

        return double.IsFinite(maximum.Value) ? new ShapeAndScale(location, likelihood, maximum) : null;
    }

    /// <summary>The maxima between 0 and the first failure, shape above the limit, highest first; and the two ends.</summary>
    public (IReadOnlyList<ShapeAndScale> Inside, ShapeAndScale? AtZero, ShapeAndScale? AtFirstFailure) Maxima(
        CancellationToken cancellationToken)
    {
        var first = sample.EarliestFailureHours;
        ShapeAndScale?[] looked = [.. Shares.Select(share => At(share * first, cancellationToken)), At(Last, cancellationToken)];
        var inside = new List<ShapeAndScale>();
        for (var i = 1; i + 1 < looked.Length; i++)
        {
            if (looked[i - 1] is not { } before || looked[i] is not { } here || looked[i + 1] is not { } after
                || here.Value < before.Value || here.Value < after.Value)
            {
                continue;
            }

            var peak = Peak.Find(
                share => At(share * first, cancellationToken)?.Value, before.Location / first, here.Location / first,
                after.Location / first, 1e-9);
            if (peak is { } found && At(found.At * first, cancellationToken) is { } top && top.Shape > LeastShape)
                inside.Add(top);
        }

        return ([.. inside.OrderByDescending(m => m.Value)], looked[0], looked[^1]);
    }
}
