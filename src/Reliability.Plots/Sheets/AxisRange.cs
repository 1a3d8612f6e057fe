namespace Reliability.Plots.Sheets;

/// <summary>The part of an axis that is drawn.</summary>
/// <param name="From">The lower end.</param>
/// <param name="To">The upper end.</param>
internal readonly record struct AxisRange(double From, double To)
{
    /// <summary>Its length.</summary>
    public double Length => To - From;

    /// <summary>The range that holds positions, with a margin on both sides.</summary>
    /// <param name="positions">At least one.</param>
    /// <param name="margin">The margin as a part of the length.</param>
    public static AxisRange Around(IReadOnlyCollection<double> positions, double margin)
    {
        double from = positions.Min();
        double to = positions.Max();
        double room = to > from ? (to - from) * margin : 0.5;
        return new AxisRange(from - room, to + room);
    }

    /// <summary>Whether a position lies within.</summary>
    public bool Holds(double position) => position >= From && position <= To;

    /// <summary>The nearest position within.</summary>
    public double Clamp(double position) => Math.Clamp(position, From, To);
}
