namespace Reliability.Engine.Resampling;

/// <summary>
/// How far estimates of simulated samples lie from the value under which these were simulated, as signed roots of the likelihood ratio or in
/// standard errors.
/// </summary>
/// <param name="Sorted">
/// The departures, rising; those of samples without a maximum are infinite towards where their estimate runs (<see cref="RunawayEstimate"/>).
/// </param>
/// <param name="Unknown">Samples without a maximum of which that is not known: they count against whatever is asked.</param>
/// <param name="WithoutMaximum">All samples without a maximum.</param>
internal sealed record SimulatedDepartures(double[] Sorted, int Unknown, int WithoutMaximum)
{
    private int Count => Sorted.Length + Unknown;

    /// <summary>
    /// The departure beyond which a share of them lies, that of the sample itself counted among them (Davison and Hinkley 1997, 4.2).
    /// Null where those without end are more than the share.
    /// </summary>
    /// <param name="share">The share, above 0 and below 1.</param>
    /// <param name="side">-1 for the greatest departures, which a value below the estimate has; +1 for the least.</param>
    public double? Limit(double share, int side)
    {
        // Counted from the far end, unknown ones first.
        var rank = share * (Count + 1) - Unknown;
        if (rank < 1 || rank > Sorted.Length)
            return null;
        var (whole, part) = ((int)rank, rank - Math.Floor(rank));
        var at = FromFarEnd(whole);
        if (part > 0 && whole < Sorted.Length)
            at += part * (FromFarEnd(whole + 1) - at);
        return double.IsFinite(at) ? at : null;

        double FromFarEnd(int place) => side < 0 ? Sorted[^place] : Sorted[place - 1];
    }

    /// <summary>The share as far out as one, or farther; the sample's own counted among them.</summary>
    public double Share(double departure, int side) =>
        (1.0 + Unknown + Sorted.Count(r => side < 0 ? r >= departure : r <= departure)) / (Count + 1);
}
