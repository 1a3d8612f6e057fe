namespace Reliability.Plots.Probability;

/// <summary>A failure as observed: a point, or a bar between two ages.</summary>
/// <param name="Hours">Age in run-hours; of a bar the lower one, which may be 0.</param>
/// <param name="HoursPosition">Where that age lies on the axis of run-hours.</param>
/// <param name="UpperHoursPosition">Of a bar, where the upper age lies; null for a point.</param>
/// <param name="Position">Where the fraction failed by then lies.</param>
public readonly record struct ObservedFailure(
    double Hours,
    double HoursPosition,
    double? UpperHoursPosition,
    double Position);
