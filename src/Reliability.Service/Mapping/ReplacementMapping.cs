using Reliability.Analysis;

namespace Reliability.Service.Mapping;

/// <summary>Mean cumulative functions of replacements.</summary>
internal static class ReplacementMapping
{
    public static double ConfidenceLevel(V1.EstimateReplacementsRequest request) =>
        request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel;

    public static V1.EstimateReplacementsResponse ToWire(ReplacementAnswer answer)
    {
        var wire = new V1.EstimateReplacementsResponse
        {
            ConfidenceLevel = answer.Estimate.ConfidenceLevel,
            PositionCount = answer.PositionCount,
            ReplacementCount = answer.ReplacementCount,
            TotalRunHours = answer.TotalRunHours,
        };
        wire.Points.AddRange(answer.Estimate.Points.Select(point => new V1.ReplacementPoint
        {
            Hours = point.Hours,
            AtRisk = point.AtRisk,
            Replacements = point.Replacements,
            MeanReplacements = EstimateMapping.ToWire(point.MeanReplacements),
        }));
        wire.Warnings.AddRange(EstimateMapping.ToWire(answer.Warnings));
        return wire;
    }
}
