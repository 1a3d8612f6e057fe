namespace Reliability.Studies.DemoCoverage;

/// <summary>What came of one simulated network.</summary>
/// <param name="Results">Every quantity that the demo prints.</param>
/// <param name="Samples">The samples behind them.</param>
internal sealed record NetworkCoverage(List<CoverageResult> Results, List<SampleSize> Samples);
