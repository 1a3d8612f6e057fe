namespace Reliability.Studies.DemoCoverage;

/// <summary>What a quantity of a network was estimated to be, and what it is.</summary>
/// <param name="Family">Display name of the family.</param>
/// <param name="Condition">New, refurbished, refurbished over new, or the shape taken as known.</param>
/// <param name="Quantity">The quantity.</param>
/// <param name="Lower">Lower bound; null when there is none.</param>
/// <param name="Upper">Upper bound; null when there is none.</param>
/// <param name="Truth">The truth.</param>
internal readonly record struct CoverageResult(
    string Family, string Condition, string Quantity, double? Lower, double? Upper, double Truth);
