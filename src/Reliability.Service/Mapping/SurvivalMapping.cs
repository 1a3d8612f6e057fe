using Reliability.Analysis;

namespace Reliability.Service.Mapping;

/// <summary>Estimates without a model.</summary>
internal static class SurvivalMapping
{
    public static V1.EstimateSurvivalResponse ToWire(SurvivalAnswer answer, SampleSummary summary, string revision)
    {
        var wire = new V1.EstimateSurvivalResponse
        {
            Median = EstimateMapping.ToWire(answer.Estimate.MedianLife),
            SampleSummary = SampleSummaryMapping.ToWire(summary),
            ConfidenceLevel = answer.Estimate.ConfidenceLevel,
            Revision = revision,
        };
        wire.Points.AddRange(answer.Estimate.Points.Select(point => new V1.SurvivalPoint
        {
            Hours = point.Hours,
            AtRisk = point.AtRisk,
            Failures = point.Failures,
            Reliability = EstimateMapping.ToWire(point.Reliability),
            CumulativeHazard = EstimateMapping.ToWire(point.CumulativeHazard),
        }));
        wire.Warnings.AddRange(EstimateMapping.ToWire(answer.Warnings));
        return wire;
    }
}
