using Reliability.Analysis;
using Reliability.Engine.Abstractions;
using Reliability.History.Events;
using Reliability.Service.Events;

namespace Reliability.Service.Mapping;

/// <summary>Predictions.</summary>
internal static class PredictionMapping
{
    public static V1.Prediction ToWire(
        Prediction prediction, IEnumerable<ModuleIdentifier> identifiers, PredictionQuestion question, string revision)
    {
        var wire = new V1.Prediction
        {
            Name = ResourceNames.Module(prediction.ModuleId),
            ActBeforeTime = EventWire.Time(prediction.ActBeforeTime),
            ActBeforeReason = ToWire(prediction.ActBeforeReason),
            RatedHoursTime = EventWire.Time(prediction.RatedHoursTime),
            RatedHoursReached = prediction.RatedHoursReached,
            AsOfTime = EventWire.Time(prediction.AsOfTime),
            RiskLimit = prediction.RiskLimit,
            AgeAtLastReading = ModuleMapping.Range(prediction.AgeAtLastReading),
            LastReadingTime = EventWire.Time(prediction.LastReadingTime),
            EstimatedAge = ModuleMapping.Range(prediction.EstimatedAge),
            Usage = ToWire(prediction.Usage),
            RiskLimitTime = EventWire.Time(prediction.RiskLimitTime),
            MedianRemainingHours = Estimate(prediction.MedianRemainingHours),
            MeanRemainingHours = Estimate(prediction.MeanRemainingHours),
            FailureProbability = Estimate(prediction.FailureProbability),
            BeforeTime = EventWire.Time(prediction.BeforeTime),
            ConfidenceLevel = question.ConfidenceLevel,
            Revision = revision,
            ModuleModel = ResourceNames.ModuleModel(prediction.ModelId),
            Condition = EventWire.ToWire(prediction.Condition),
            Site = prediction.Site ?? string.Empty,
        };
        if (prediction.RatedHours is { } rated)
            wire.RatedHours = rated;
        wire.Identifiers.AddRange(identifiers.Select(EventWire.ToWire));
        wire.FailureDates.AddRange(prediction.FailureDates.Select(ToWire));
        AddBasis(wire, prediction.Basis);
        wire.Cautions.AddRange(prediction.Cautions.Select(CatalogueMapping.ToWire));
        wire.Warnings.AddRange(EstimateMapping.ToWire(prediction.Warnings));
        return wire;
    }

    private static void AddBasis(V1.Prediction wire, PredictionBasis basis)
    {
        wire.Cohort = CohortMapping.ToWire(basis.Selection);
        wire.WideningStep = ToWire(basis.Step);
        wire.WideningText = basis.Text;
        wire.SampleSummary = SampleSummaryMapping.ToWire(basis.Lives.Summary);
        if (basis.Fit is not { } fit)
            return;
        wire.LifeModel = fit.Model.Id;
        wire.BoundsMethod = EstimateMapping.ToWire(fit.BoundsMethod);
        FitMapping.AddParameters(wire.Parameters, fit.Parameters);
    }

    private static V1.Usage ToWire(UsageRate usage)
    {
        var wire = new V1.Usage
        {
            Basis = usage.Basis switch
            {
                UsageBasis.Measured => V1.UsageBasis.Measured,
                UsageBasis.Expected => V1.UsageBasis.Expected,
                UsageBasis.Cohort => V1.UsageBasis.Cohort,
                UsageBasis.Assumed => V1.UsageBasis.Assumed,
                _ => V1.UsageBasis.Unspecified,
            },
            HoursPerDay = EstimateMapping.ToWire(usage.HoursPerDay),
            ReadingCount = usage.ReadingCount,
        };
        if (usage.WindowStart is { } start && usage.WindowEnd is { } end)
            wire.Window = new() { StartTime = EventWire.Time(start), EndTime = EventWire.Time(end) };
        return wire;
    }

    private static V1.FailureDate ToWire(FailureDate date) => new()
    {
        FailureFraction = date.FailureFraction,
        RemainingHours = EstimateMapping.ToWire(date.RemainingHours),
        FailureTime = EventWire.Time(date.Time),
        LowerTime = EventWire.Time(date.LowerTime),
        UpperTime = EventWire.Time(date.UpperTime),
        BeyondRatedHours = date.BeyondRatedHours,
        Withheld = date.Withheld,
    };

    private static V1.Estimate? Estimate(BoundedEstimate? estimate) =>
        estimate is null ? null : EstimateMapping.ToWire(estimate);

    private static V1.ActBeforeReason ToWire(ActBeforeReason reason) => reason switch
    {
        ActBeforeReason.RatedHours => V1.ActBeforeReason.RatedHours,
        ActBeforeReason.RiskLimit => V1.ActBeforeReason.RiskLimit,
        _ => V1.ActBeforeReason.Unspecified,
    };

    private static V1.WideningStep ToWire(WideningStep step) => step switch
    {
        WideningStep.SameCondition => V1.WideningStep.SameCondition,
        WideningStep.AllRefurbishers => V1.WideningStep.AllRefurbishers,
        WideningStep.BothConditions => V1.WideningStep.BothConditions,
        WideningStep.BorrowedShape => V1.WideningStep.BorrowedShape,
        WideningStep.RatedHoursOnly => V1.WideningStep.RatedHoursOnly,
        _ => V1.WideningStep.Unspecified,
    };
}
