namespace Reliability.Engine.Resampling;

/// <summary>The signed roots of simulated samples at the value under which they were simulated.</summary>
/// <param name="Sorted">
/// The roots, rising; those of samples without a maximum are infinite towards where their estimate runs (<see cref="RunawayEstimate"/>).
/// </param>
/// <param name="Unknown">Samples without a maximum of which that is not known: they count against whatever is asked.</param>
/// <param name="WithoutMaximum">All samples without a maximum.</param>
internal sealed record SimulatedRoots(double[] Sorted, int Unknown, int WithoutMaximum)
{
    private int Count => Sorted.Length + Unknown;

    /// <summary>
    /// Where r of the sample must lie for the value to be a bound: as far out or farther lies a share of roots, the sample's own
    /// counted among them (Davison and Hinkley 1997, 4.2). Null where roots without end are more than the share.
    /// </summary>
    /// <param name="share">The share, above 0 and below 1.</param>
    /// <param name="side">-1 for a value below the estimate, where r is positive, +1 for one above.</param>
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

    /// <summary>The share of roots as far out as one, or farther; the sample's own counted among them.</summary>
    public double Share(double root, int side) =>
        (1.0 + Unknown + Sorted.Count(r => side < 0 ? r >= root : r <= root)) / (Count + 1);
}
