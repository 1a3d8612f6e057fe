namespace Reliability.Plots.Sheets;

/// <summary>Leaves out labels that would be written over each other.</summary>
internal static class TickSpacing
{
    /// <summary>Keeps the labels that have room, the earlier ones of the list first.</summary>
    /// <param name="labels">Labels in order of importance.</param>
    /// <param name="leastDistance">The least distance between two kept labels, in axis positions.</param>
    /// <returns>The kept labels by position.</returns>
    public static IReadOnlyList<AxisLabel> Keep(IEnumerable<AxisLabel> labels, double leastDistance)
    {
        List<AxisLabel> kept = [];
        foreach (AxisLabel label in labels)
        {
            if (kept.TrueForAll(other => Math.Abs(other.Position - label.Position) >= leastDistance))
                kept.Add(label);
        }
        return [.. kept.OrderBy(label => label.Position)];
    }
}
