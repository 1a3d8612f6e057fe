namespace Reliability.Analysis;

/// <summary>Medians.</summary>
internal static class Middle
{
    /// <summary>Median of sorted values, the mean of the middle two when their number is even.</summary>
    public static double OfSorted(IReadOnlyList<double> sorted)
    {
        var half = sorted.Count / 2;
        return sorted.Count % 2 == 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
    }
}
