namespace Reliability.Analysis;

/// <summary>How far along its fitted life a row of the sample came: -log of the fitted reliability.</summary>
/// <param name="Value">At the end of the row; for a failure between two ages at the lower one.</param>
/// <param name="UpperValue">For a failure between two ages, at the upper one.</param>
/// <param name="EntryValue">At the age of entry.</param>
/// <param name="Survived">Whether the row survived: its residual is then a lower bound.</param>
/// <param name="Count">Lives that the row stands for.</param>
/// <param name="CumulativeHazard">Nelson and Aalen's cumulative hazard of the residuals here; null but for failures at known ages.</param>
public sealed record CoxSnellResidual(
    double Value, double? UpperValue, double EntryValue, bool Survived, double Count, double? CumulativeHazard);
