using Reliability.Analysis;

namespace Reliability.Service.Mapping;

/// <summary>Assessments of life models.</summary>
internal static class AssessmentMapping
{
    public static AssessmentQuestion Question(V1.AssessLifeModelsRequest request) => new()
    {
        LifeModels = request.LifeModels,
        Replicates = request.Replicates,
        OfEach = new()
        {
            ConfidenceLevel = request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel,
            FailureFractions = request.FailureFractions,
            Seed = request.HasSeed ? (ulong)request.Seed : FitMapping.DefaultSeed,
            IncludePlot = request.IncludePlot,
        },
    };

    public static V1.AssessLifeModelsResponse ToWire(AssessmentAnswer answer, SampleSummary summary, string revision)
    {
        var wire = new V1.AssessLifeModelsResponse
        {
            BestLifeModel = answer.BestLifeModel ?? string.Empty,
            Verdict = answer.Verdict,
            SampleSummary = SampleSummaryMapping.ToWire(summary),
            Revision = revision,
        };
        wire.Models.AddRange(answer.Models.Select(ToWire));
        wire.Tests.AddRange(answer.Tests.Select(ToWire));
        wire.Warnings.AddRange(EstimateMapping.ToWire(answer.Warnings));
        return wire;
    }

    private static V1.ModelAssessment ToWire(ModelAssessment model)
    {
        var wire = new V1.ModelAssessment { LifeModel = model.LifeModel, EstimatedParameters = model.EstimatedParameters };
        if (model.Fit.TryGet(out var fit, out var reason))
            wire.Fit = FitMapping.ToWire(fit);
        else
            wire.NotEstimable = EstimateMapping.ToWire(reason);
        if (model.AiccDifference is { } aicc)
            wire.AiccDifference = aicc;
        if (model.BicDifference is { } bic)
            wire.BicDifference = bic;
        if (model.FitTest is { } test)
            wire.FitTest = FitMapping.ToWire(test);
        return wire;
    }

    private static V1.NestedModelTest ToWire(NestedModelTest test)
    {
        var wire = new V1.NestedModelTest
        {
            LifeModel = test.LifeModel,
            WiderLifeModel = test.WiderLifeModel,
            DegreesOfFreedom = test.DegreesOfFreedom,
            AtBorder = test.AtBorder,
        };
        if (test.Statistic is { } statistic)
            wire.Statistic = statistic;
        if (test.PValue is { } pValue)
            wire.PValue = pValue;
        if (test.NotEstimable is { } reason)
            wire.NotEstimable = EstimateMapping.ToWire(reason);
        return wire;
    }
}
