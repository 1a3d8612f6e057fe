using Reliability.Analysis;
using Reliability.Engine.Abstractions;

namespace Reliability.Service.Mapping;

/// <summary>Estimates without a model.</summary>
internal static class SurvivalMapping
{
    public static SurvivalQuestion Question(V1.EstimateSurvivalRequest request) => new()
    {
        ConfidenceLevel = request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel,
        AgeLimitHours = request.HasAgeLimitHours ? request.AgeLimitHours : null,
    };

    public static V1.EstimateSurvivalResponse ToWire(SurvivalAnswer answer, SampleSummary summary, string revision)
    {
        var wire = new V1.EstimateSurvivalResponse
        {
            Method = ToWire(answer.Estimate.Method),
            Median = EstimateMapping.ToWire(answer.Estimate.MedianLife),
            RestrictedMean = new V1.RestrictedMean
            {
                AgeLimitHours = answer.RestrictedMean.AgeLimitHours,
                LimitBasis = ToWire(answer.RestrictedMean.Basis),
                Mean = EstimateMapping.ToWire(answer.RestrictedMean.Mean),
            },
            SampleSummary = SampleSummaryMapping.ToWire(summary),
            ConfidenceLevel = answer.Estimate.ConfidenceLevel,
            Revision = revision,
        };
        if (answer.EarliestEntryHours > 0)
            wire.EarliestEntryHours = answer.EarliestEntryHours;
        wire.Points.AddRange(answer.Estimate.Points.Select(ToWire));
        wire.Incidences.AddRange(answer.Incidences.Select(ToWire));
        wire.Warnings.AddRange(EstimateMapping.ToWire(answer.Warnings));
        return wire;
    }

    public static V1.SurvivalMethod ToWire(SurvivalMethod? method) => method switch
    {
        SurvivalMethod.KaplanMeier => V1.SurvivalMethod.KaplanMeier,
        SurvivalMethod.Turnbull => V1.SurvivalMethod.Turnbull,
        _ => V1.SurvivalMethod.Unspecified,
    };

    private static V1.SurvivalPoint ToWire(SurvivalPoint point)
    {
        var wire = new V1.SurvivalPoint
        {
            Hours = point.Hours,
            Reliability = EstimateMapping.ToWire(point.Reliability),
            CumulativeHazard = EstimateMapping.ToWire(point.CumulativeHazard),
        };
        if (point.LowerHours is { } lower)
            wire.LowerHours = lower;
        if (point.AtRisk is { } atRisk)
            wire.AtRisk = atRisk;
        if (point.Failures is { } failures)
            wire.Failures = failures;
        return wire;
    }

    private static V1.ModeIncidence ToWire(ModeIncidence incidence)
    {
        var wire = new V1.ModeIncidence { FailureMode = incidence.FailureMode ?? string.Empty };
        wire.Points.AddRange(incidence.Points.Select(point => new V1.IncidencePoint
        {
            Hours = point.Hours,
            Failures = point.Failures,
            Incidence = EstimateMapping.ToWire(point.Incidence),
        }));
        return wire;
    }

    private static V1.RestrictedMean.Types.LimitBasis ToWire(AgeLimitBasis basis) => basis switch
    {
        AgeLimitBasis.Asked => V1.RestrictedMean.Types.LimitBasis.Request,
        AgeLimitBasis.RatedHours => V1.RestrictedMean.Types.LimitBasis.RatedHours,
        AgeLimitBasis.OldestAge => V1.RestrictedMean.Types.LimitBasis.OldestAge,
        _ => V1.RestrictedMean.Types.LimitBasis.Unspecified,
    };
}
