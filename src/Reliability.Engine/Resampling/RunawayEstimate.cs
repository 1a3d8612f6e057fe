using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Resampling;

/// <summary>Where the estimate of a sample without a maximum runs to. Such samples are counted, not left out.</summary>
internal static class RunawayEstimate
{
    /// <summary>Nothing failed: lives run to infinity.</summary>
    public const double NothingFailed = double.NegativeInfinity;

    // Far enough that what does not run away is at its limit to rounding.
    private const double FarU = 1e6, FarV = -1e4;

    /// <summary>How the maximum of a sample is missing: <see cref="NothingFailed"/>, the x at which all failures lie, or NaN for anything else.</summary>
    public static double Of(LifeSample sample, LogTimeAxis axis) =>
        sample.FailureCount == 0 ? NothingFailed
        : !sample.HasIntervals && sample.EarliestFailureHours == sample.OldestHours ? axis.ToX(sample.OldestHours)
        : double.NaN;

    /// <summary>
    /// An infinite number with the sign of estimate minus value, as the signed root and the studentised estimate run to; 0 where the lives
    /// say nothing of the quantity, NaN where it is not known.
    /// </summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="truth">The life under which the sample was drawn.</param>
    /// <param name="missing">How the maximum is missing, on that life's axis.</param>
    /// <param name="value">The value, on the quantity's transformed scale.</param>
    public static double Departure(LifeQuantity quantity, LogTimeLife truth, double missing, double value)
    {
        if (double.IsNaN(missing))
            return double.NaN;
        if (missing == NothingFailed && !quantity.DependsOnV)
            return 0;
        var limit = quantity.Transformed(
            missing == NothingFailed ? truth with { V = truth.V + FarV } : truth with { U = FarU, V = -FarU * missing });
        return double.IsNaN(limit) ? double.NaN
            : limit > value ? double.PositiveInfinity
            : limit < value ? double.NegativeInfinity
            : 0;
    }
}
