using Reliability.Analysis;
using Reliability.Engine.Abstractions;

namespace Reliability.Service.Mapping;

/// <summary>Comparisons of cohorts.</summary>
internal static class ComparisonMapping
{
    public static ComparisonQuestion Question(V1.CompareCohortsRequest request) => new()
    {
        LifeModel = request.LifeModel,
        ConfidenceLevel = request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel,
        BoundsMethod = EstimateMapping.FromWire(request.BoundsMethod),
        FailureFractions = request.FailureFractions,
        ReliabilityHours = request.ReliabilityHours,
        IncludePlot = request.IncludePlot,
    };

    public static V1.CompareCohortsResponse ToWire(ComparisonAnswer answer, string revision)
    {
        var wire = new V1.CompareCohortsResponse
        {
            Verdict = new() { Code = ToWire(answer.Verdict.Code), Text = answer.Verdict.Text },
            Revision = revision,
        };
        wire.Cohorts.AddRange(answer.Cohorts.Select(ToWire));
        wire.Tests.AddRange(answer.Tests.Select(ToWire));
        wire.Effects.AddRange(answer.Effects.Select(effect =>
            new V1.CohortEffect { Name = effect.Name, Estimate = EstimateMapping.ToWire(effect.Ratio) }));
        wire.Warnings.AddRange(EstimateMapping.ToWire(answer.Warnings));
        return wire;
    }

    private static V1.CohortResult ToWire(CohortAnswer cohort)
    {
        var wire = new V1.CohortResult
        {
            Name = cohort.Name,
            SampleSummary = SampleSummaryMapping.ToWire(cohort.Summary),
        };
        if (cohort.Fit.TryGet(out var fit, out var reason))
            wire.Fit = FitMapping.ToWire(fit);
        else
            wire.NotEstimable = EstimateMapping.ToWire(reason);
        return wire;
    }

    private static V1.CohortTest ToWire(CohortTest test)
    {
        var wire = new V1.CohortTest { Name = test.Name, DegreesOfFreedom = test.DegreesOfFreedom };
        if (test.Statistic is { } statistic)
            wire.Statistic = statistic;
        if (test.PValue is { } pValue)
            wire.PValue = pValue;
        if (test.NotEstimable is { } reason)
            wire.NotEstimable = EstimateMapping.ToWire(reason);
        return wire;
    }

    private static V1.Verdict.Types.Code ToWire(VerdictCode code) => code switch
    {
        VerdictCode.SecondLonger => V1.Verdict.Types.Code.SecondLonger,
        VerdictCode.SecondShorter => V1.Verdict.Types.Code.SecondShorter,
        VerdictCode.NotShown => V1.Verdict.Types.Code.NotShown,
        _ => V1.Verdict.Types.Code.NotComparable,
    };
}
