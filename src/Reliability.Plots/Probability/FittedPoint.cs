namespace Reliability.Plots.Probability;

/// <summary>A point of a fitted line, in axis positions. What does not exist is null; a fraction of 0 or 1
/// that has no position lies at an infinite one.</summary>
/// <param name="Hours">Age in run-hours.</param>
/// <param name="HoursPosition">Where that age lies on the axis of run-hours.</param>
/// <param name="Position">Where the fitted fraction failed lies.</param>
/// <param name="LowerPosition">Where its lower bound lies.</param>
/// <param name="UpperPosition">Where its upper bound lies.</param>
public readonly record struct FittedPoint(
    double Hours,
    double HoursPosition,
    double? Position,
    double? LowerPosition,
    double? UpperPosition);
