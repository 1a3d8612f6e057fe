namespace Reliability.Analysis;

/// <summary>What was observed, to be drawn with the fitted line.</summary>
/// <param name="Hours">Run-hours; where the failure lies between two ages the lower one.</param>
/// <param name="UpperHours">Where the failure lies between two ages the upper one; else null.</param>
/// <param name="FailureFraction">Fraction failed by then: half-way up the step of Kaplan-Meier's estimate, or of Turnbull's with
/// failures between two ages (Meeker and Escobar 1998, 6.4); where all lives entered late, with the fitted fraction failed before the first
/// entry, which nobody watched.</param>
/// <param name="AxisHours">Where the hours lie on the model's axis; the left edge for an age of 0 on a log axis.</param>
/// <param name="AxisUpperHours">Where the upper hours lie; null for a point.</param>
/// <param name="AxisFraction">Where the fraction lies on the model's axis.</param>
/// <param name="Count">Lives; of Turnbull's estimate its share of the failures, rounded.</param>
public sealed record ObservedMark(
    double Hours,
    double? UpperHours,
    double FailureFraction,
    double AxisHours,
    double? AxisUpperHours,
    double AxisFraction,
    long Count);
