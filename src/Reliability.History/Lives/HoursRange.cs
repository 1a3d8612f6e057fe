namespace Reliability.History.Lives;

/// <summary>A range of run-hours, both ends included; equal ends when the hours are known.</summary>
/// <param name="LowerHours">The least it can be.</param>
/// <param name="UpperHours">The most it can be; null when there is no upper end.</param>
public readonly record struct HoursRange(double LowerHours, double? UpperHours)
{
    /// <summary>Whether the hours are known.</summary>
    public bool IsKnown => UpperHours is { } upper && upper <= LowerHours;

    /// <summary>A known number of hours.</summary>
    /// <param name="hours">Run-hours.</param>
    public static HoursRange Known(double hours) => new(hours, hours);

    /// <summary>The sum of two ranges.</summary>
    /// <param name="one">A range.</param>
    /// <param name="other">Another range.</param>
    public static HoursRange operator +(HoursRange one, HoursRange other) => Add(one, other);

    /// <summary>The sum of two ranges.</summary>
    /// <param name="one">A range.</param>
    /// <param name="other">Another range.</param>
    public static HoursRange Add(HoursRange one, HoursRange other) =>
        new(one.LowerHours + other.LowerHours, one.UpperHours + other.UpperHours);
}
