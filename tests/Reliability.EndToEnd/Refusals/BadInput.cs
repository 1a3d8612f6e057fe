using Google.Protobuf;
using Reliability.V1;

namespace Reliability.EndToEnd.Refusals;

/// <summary>A request that must be refused, and how.</summary>
/// <param name="Name">What is wrong with it.</param>
/// <param name="Route">The JSON route that takes it, after POST.</param>
/// <param name="Request">The request.</param>
/// <param name="Field">The field that must be named.</param>
internal sealed record BadInput(string Name, string Route, IMessage Request, string Field)
{
    public const string Fit = "/v1/lives:fit", Survival = "/v1/survival:estimate", Compare = "/v1/cohorts:compare", Assess = "/v1/lifeModels:assess";
    public const string Replacements = "/v1/replacements:estimate";
    public const string Predict = "/v1/modules/any:predictFailure", PredictAll = "/v1/modules:predictFailures";

    /// <summary>Requests of which nothing can ever be made: INVALID_ARGUMENT, on gRPC and on JSON alike.</summary>
    public static IReadOnlyList<BadInput> All { get; } =
    [
        OfRow("negative hours", row => row.FailureHours = -1, "failure_hours"),
        OfRow("hours that are not a number", row => row.FailureHours = double.NaN, "failure_hours"),
        OfRow("infinite hours", row => row.SurvivalHours = double.PositiveInfinity, "survival_hours"),
        OfRow("failed at 0 hours", row => row.FailureHours = 0, "failure_hours"),
        OfRow("interval reversed", row => row.FailureInterval = new() { LowerHours = 5, UpperHours = 3 }, "failure_interval"),
        OfRow("interval of no length", row => row.FailureInterval = new() { LowerHours = 5, UpperHours = 5 }, "failure_interval"),
        OfRow("entry beyond the end", row => (row.SurvivalHours, row.EntryHours) = (5, 6), "entry_hours"),
        OfRow("negative entry", row => (row.SurvivalHours, row.EntryHours) = (5, -1), "entry_hours"),
        OfRow("count of 0", row => (row.SurvivalHours, row.Count) = (5, 0), "count"),
        OfRow("planned end before the end", row => (row.SurvivalHours, row.PlannedEndHours) = (5, 4), "planned_end_hours"),
        OfRow("no outcome", row => row.Group = "a", string.Empty),
        OfFit("failure fraction 0", fit => fit.FailureFractions.Add(0), "failure_fractions[0]"),
        OfFit("failure fraction 1.5", fit => fit.FailureFractions.AddRange([0.1, 1.5]), "failure_fractions[1]"),
        OfFit("failure fraction not a number", fit => fit.FailureFractions.Add(double.NaN), "failure_fractions[0]"),
        OfFit("level 1", fit => fit.ConfidenceLevel = 1, "confidence_level"),
        OfFit("level not a number", fit => fit.ConfidenceLevel = double.NaN, "confidence_level"),
        OfFit("negative hours asked", fit => fit.ReliabilityHours.Add(-3), "reliability_hours[0]"),
        OfFit("unknown enum", fit => fit.BoundsMethod = (BoundsMethod)99, "bounds_method"),
        OfFit("unknown life model", fit => fit.LifeModel = "no-such-model", "life_model"),
        OfFit("bounds not on offer", fit => (fit.LifeModel, fit.BoundsMethod) = ("gamma", BoundsMethod.Exact), "bounds_method"),
        OfFit("too few replicates", fit => fit.Replicates = 98, "replicates"),
        OfFit(
            "too few replicates for the level",
            fit => (fit.BoundsMethod, fit.ConfidenceLevel, fit.Replicates) = (BoundsMethod.Bootstrap, 0.99, 150), "replicates"),
        OfFit("unknown parameter held", fit => fit.FixedParameters.Add("mood", 2), "fixed_parameters[mood]"),
        OfFit("held shape of 0", fit => fit.FixedParameters.Add("shape", 0), "fixed_parameters[shape]"),
        OfFit("no age", fit => fit.RemainingLifeQueries.Add(new RemainingLifeQuery()), "remaining_life_queries[0].age_hours"),
        OfFit(
            "negative horizon", fit => fit.RemainingLifeQueries.Add(new RemainingLifeQuery { AgeHours = 1, HorizonHours = { 1, -1 } }),
            "remaining_life_queries[0].horizon_hours[1]"),
        new("empty sample", Fit, new FitLivesRequest { Sample = new() }, "sample.observations"),
        new("neither cohort nor sample", Fit, new FitLivesRequest(), "lives"),
        new(
            "revision of nobody", Fit, new FitLivesRequest { Cohort = new(), MinimumRevision = "nonsense" }, "minimum_revision"),
        new(
            "module model without its collection", Survival,
            new EstimateSurvivalRequest { Cohort = new() { ModuleModels = { "lamp" } } }, "cohort.module_models[0]"),
        new(
            "verdict on nothing", Survival,
            new EstimateSurvivalRequest
            {
                Cohort = new() { OutcomePolicy = new() { Rules = { new OutcomeRule { Verdict = OutcomeVerdict.Failed } } } },
            },
            "cohort.outcome_policy.rules[0].removal_reason"),
        new(
            "reason without verdict", Survival,
            new EstimateSurvivalRequest
            {
                Cohort = new() { OutcomePolicy = new() { Rules = { new OutcomeRule { RemovalReason = RemovalReason.Other } } } },
            },
            "cohort.outcome_policy.rules[0].verdict"),
        new("no positions", Replacements, new EstimateReplacementsRequest(), "positions"),
        OfPosition("watched backwards", position => (position.StartHours, position.EndHours) = (5, 4), "end_hours"),
        OfPosition("start not a number", position => position.StartHours = double.NaN, "start_hours"),
        OfPosition("replaced after the end", position => position.ReplacementHours.AddRange([1, 11]), "replacement_hours[1]"),
        OfPosition("replaced at the start", position => position.ReplacementHours.Add(0), "replacement_hours[0]"),
        new(
            "unknown life model of several", Assess,
            new AssessLifeModelsRequest { Sample = Good(), LifeModels = { "weibull", "no-such-model" } }, "life_models[1]"),
        new("too many replicates", Assess, new AssessLifeModelsRequest { Sample = Good(), Replicates = 5001 }, "replicates"),
        new("one group", Compare, new CompareCohortsRequest { Groups = { new CohortGroup { Name = "a", Sample = Good() } } }, "groups"),
        new(
            "bad row in the second group", Compare,
            new CompareCohortsRequest
            {
                Groups =
                {
                    new CohortGroup { Name = "a", Sample = Good() },
                    new CohortGroup { Name = "b", Sample = new() { Observations = { new LifeObservation { FailureHours = -2 } } } },
                },
            },
            "groups[1].sample.observations[0].failure_hours"),
        new("risk of 1", Predict, new PredictFailureRequest { Name = "modules/any", RiskLimit = 1 }, "risk_limit"),
        new(
            "25 hours a day", Predict, new PredictFailureRequest { Name = "modules/any", AssumedHoursPerDay = 25 },
            "assumed_hours_per_day"),
        new("filter that cannot be read", PredictAll, new PredictFailuresRequest { Filter = "site = " }, "filter"),
        new("filter of an unknown field", PredictAll, new PredictFailuresRequest { Filter = "colour = blue" }, "filter"),
    ];

    public override string ToString() => Name;

    private static BadInput OfPosition(string name, Action<PositionHistory> change, string field)
    {
        var position = new PositionHistory { EndHours = 10 };
        change(position);
        return new(name, Replacements, new EstimateReplacementsRequest { Positions = { position } }, $"positions[0].{field}");
    }

    private static BadInput OfRow(string name, Action<LifeObservation> spoil, string field)
    {
        var row = new LifeObservation();
        spoil(row);
        var request = new FitLivesRequest { Sample = Good() };
        request.Sample.Observations.Add(row);
        return new(name, Fit, request, "sample.observations[2]" + (field.Length == 0 ? string.Empty : "." + field));
    }

    private static BadInput OfFit(string name, Action<FitLivesRequest> spoil, string field)
    {
        var request = new FitLivesRequest { Sample = Good() };
        spoil(request);
        return new(name, Fit, request, field);
    }

    private static InlineSample Good() => new()
    {
        Observations = { new LifeObservation { FailureHours = 100 }, new LifeObservation { SurvivalHours = 300 } },
    };
}
