namespace Reliability.Analysis;

/// <summary>What was observed, to be drawn with the fitted line.</summary>
/// <param name="Hours">Run-hours; for lives that failed between two ages the lower one.</param>
/// <param name="UpperHours">For lives that failed between two ages the upper one; else null.</param>
/// <param name="FailureFraction">Fraction failed by then: half-way up the Kaplan-Meier step where that estimate exists
/// (Meeker and Escobar 1998, 6.4), else from the fitted line.</param>
/// <param name="AxisHours">Where the hours lie on the model's axis; the left edge for an age of 0 on a log axis.</param>
/// <param name="AxisUpperHours">Where the upper hours lie; null for a point.</param>
/// <param name="AxisFraction">Where the fraction lies on the model's axis.</param>
/// <param name="Count">Lives.</param>
public sealed record ObservedMark(
    double Hours,
    double? UpperHours,
    double FailureFraction,
    double AxisHours,
    double? AxisUpperHours,
    double AxisFraction,
    long Count);
