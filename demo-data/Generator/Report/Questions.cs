using Google.Protobuf.WellKnownTypes;
using Reliability.DemoData.Scenario;
using Reliability.V1;

namespace Reliability.DemoData.Report;

/// <summary>What the demo asks, as requests of the public contract.</summary>
internal static class Questions
{
    /// <summary>Refurbished against new modules of a family.</summary>
    public static CompareCohortsRequest Compare(Network network, Family family) => new()
    {
        Groups =
        {
            new CohortGroup { Name = "new", Cohort = CohortOf(network, family, ConditionClass.New) },
            new CohortGroup { Name = "refurbished", Cohort = CohortOf(network, family, ConditionClass.Refurbished) },
        },
        FailureFractions = { 0.10, 0.50 },
        ReliabilityHours = { family.RatedHours },
    };

    /// <summary>A fit of a family with the shape taken as known.</summary>
    public static FitLivesRequest FitWithShape(Network network, Family family, double shape) => new()
    {
        Cohort = CohortOf(network, family, ConditionClass.Unspecified),
        FixedParameters = { ["shape"] = shape },
        FailureFractions = { 0.10 },
        ReliabilityHours = { family.RatedHours },
    };

    /// <summary>What is to be expected of every module in service when the data end.</summary>
    public static PredictFailuresRequest Predict(Network network) =>
        new() { AsOfTime = Timestamp.FromDateTime(network.CutoffTime) };

    private static Cohort CohortOf(Network network, Family family, ConditionClass condition) => new()
    {
        ModuleModels = { "moduleModels/" + family.ModelId },
        ConditionClass = condition,
        DataCutoffTime = Timestamp.FromDateTime(network.CutoffTime),
    };
}
