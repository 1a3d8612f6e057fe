using System.Net;
using System.Text;
using System.Text.Json;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>From a posted record to a fit of its cohort and the dates of its modules, over the wire.</summary>
public sealed class PredictionTests(SharedService shared)
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_cohort_is_fitted_and_a_module_of_it_predicted()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "predicted");

        var fit = await shared.Clients.Analysis.FitLivesAsync(
            new FitLivesRequest { Cohort = new() { ModuleModels = { "moduleModels/predicted" } }, MinimumRevision = revision, IncludePlot = true },
            cancellationToken: Token);
        var prediction = await shared.Clients.Forecast.PredictFailureAsync(
            new PredictFailureRequest { Name = "modules/predicted-live", AsOfTime = Time(2024, 4, 1), BeforeTime = Time(2024, 5, 1) },
            cancellationToken: Token);

        Assert.Equal((11, 10, 1), (fit.SampleSummary.LifeCount, fit.SampleSummary.FailedCount, fit.SampleSummary.SurvivedCount));
        Assert.NotEmpty(fit.Revision);
        Assert.NotEmpty(fit.Fit.Plot.Line);
        Assert.Equal(10, fit.Fit.Plot.Marks.Count);
        Assert.Equal(9, fit.SampleSummary.OutcomePolicy.Rules.Count);

        Assert.Equal(Time(2024, 4, 1), prediction.AsOfTime);
        Assert.True(prediction.ActBeforeTime >= prediction.AsOfTime);
        Assert.Equal(ActBeforeReason.RiskLimit, prediction.ActBeforeReason);
        Assert.Equal(2000, prediction.RatedHours);
        Assert.Equal(0.05, prediction.RiskLimit);
        Assert.Equal(UsageBasis.Measured, prediction.Usage.Basis);
        Assert.Equal(10, prediction.Usage.HoursPerDay.Value, 0.5);
        Assert.InRange(prediction.FailureProbability.Value, 0.01, 0.99);
        Assert.Equal(WideningStep.SameCondition, prediction.WideningStep);
        Assert.Equal(["moduleModels/predicted"], prediction.Cohort.ModuleModels);
        Assert.NotEmpty(prediction.Cautions);
        Assert.Equal(fit.Fit.Parameters["shape"].Value, prediction.Parameters["shape"].Value, 1e-9);
    }

    [Fact]
    public async Task A_fleet_is_predicted_module_by_module()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "fleet");
        using var call = shared.Clients.Forecast.PredictFailures(
            new PredictFailuresRequest
            {
                Filter = "module_model = moduleModels/fleet",
                AsOfTime = Time(2024, 4, 1),
                MinimumRevision = revision,
            },
            cancellationToken: Token);

        var answers = await call.ResponseStream.ReadAllAsync(Token).ToListAsync(Token);

        Assert.Equal(11, answers.Count);
        var predicted = Assert.Single(answers, answer => answer.OutcomeCase == PredictFailuresResponse.OutcomeOneofCase.Prediction);
        Assert.Equal("modules/fleet-live", predicted.Prediction.Name);
        Assert.All(answers.Where(answer => answer.NotPredicted is not null), answer =>
        {
            Assert.NotEmpty(answer.NotPredicted.Reason);
            Assert.NotEmpty(answer.NotPredicted.Text);
        });
    }

    [Fact]
    public async Task Json_streams_a_prediction_a_line()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "lines");
        using var content = new StringContent(
            $$"""{"filter": "module_model = moduleModels/lines AND state = IN_SERVICE", "asOfTime": "2024-04-01T00:00:00Z", "minimumRevision": "{{revision}}"}""",
            Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri("/v1/modules:predictFailures", UriKind.Relative), content, Token);

        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        var line = Assert.Single((await response.Content.ReadAsStringAsync(Token)).Split('\n', StringSplitOptions.RemoveEmptyEntries));
        using var json = JsonDocument.Parse(line);
        Assert.Equal("modules/lines-live", json.RootElement.GetProperty("prediction").GetProperty("name").GetString());
    }

    [Fact]
    public async Task A_module_out_of_service_has_no_prediction_and_a_reason()
    {
        await PostedFleet.PostAsync(shared.Clients, "gone");

        var refused = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Forecast.PredictFailureAsync(
            new PredictFailureRequest { Name = "modules/gone-0" }, cancellationToken: Token));
        var missing = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Forecast.PredictFailureAsync(
            new PredictFailureRequest { Name = "modules/never-seen" }, cancellationToken: Token));

        Assert.Equal(StatusCode.FailedPrecondition, refused.StatusCode);
        Assert.NotEmpty(StatusDetails.Reason(StatusDetails.Of(refused)));
        Assert.Equal(StatusCode.NotFound, missing.StatusCode);
    }

    [Fact]
    public async Task New_and_refurbished_are_compared_out_of_the_record()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "compared");
        var cohort = new Cohort { ModuleModels = { "moduleModels/compared" } };

        var answer = await shared.Clients.Analysis.CompareCohortsAsync(
            new CompareCohortsRequest
            {
                Groups =
                {
                    new CohortGroup { Name = "new", Cohort = new Cohort(cohort) { ConditionClass = ConditionClass.New } },
                    new CohortGroup { Name = "refurbished", Cohort = new Cohort(cohort) { ConditionClass = ConditionClass.Refurbished } },
                },
                MinimumRevision = revision,
            },
            cancellationToken: Token);

        Assert.Equal(CohortResult.ResultOneofCase.Fit, answer.Cohorts[0].ResultCase);
        Assert.Equal("NO_OBSERVATIONS", answer.Cohorts[1].NotEstimable.Reason);
        Assert.Equal(Verdict.Types.Code.NotComparable, answer.Verdict.Code);
        Assert.NotEmpty(answer.Revision);
    }
}
