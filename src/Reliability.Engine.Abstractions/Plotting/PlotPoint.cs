namespace Reliability.Engine.Abstractions;

/// <summary>A point of a fitted line with its bounds, in the model's own axis positions and in plain numbers.</summary>
/// <param name="Hours">Age in hours.</param>
/// <param name="FailedFraction">Fraction failed by that age, with bounds.</param>
/// <param name="AxisHours">Horizontal axis position.</param>
/// <param name="AxisFraction">Vertical position of the estimate; null when it has none (fraction 0 or 1, or no estimate).</param>
/// <param name="AxisLower">Vertical position of the lower bound of the failed fraction, or null.</param>
/// <param name="AxisUpper">Vertical position of the upper bound of the failed fraction, or null.</param>
public sealed record PlotPoint(
    double Hours,
    BoundedEstimate FailedFraction,
    double AxisHours,
    double? AxisFraction,
    double? AxisLower,
    double? AxisUpper);
