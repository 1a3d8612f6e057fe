using System.Globalization;
using System.Text;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Answers as of a past record time, over the wire: the same for good, whatever is recorded later.</summary>
public sealed class AsOfTests(SharedService shared)
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private ModuleHistoryService.ModuleHistoryServiceClient History => shared.Clients.History;

    [Fact]
    public async Task Answers_as_of_an_instant_stay_as_they_were_given_then()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "then");
        var then = await LastRecordTimeAsync("modules/then-live");
        var fresh = await shared.Clients.Analysis.FitLivesAsync(
            new FitLivesRequest(Fit("then", null)) { MinimumRevision = revision }, cancellationToken: Token);
        var before = await AnswersAsync("then", then);

        await CorrectAsync("then");

        var after = await AnswersAsync("then", then);
        Assert.Equal(before.Keys, after.Keys);
        foreach (var (question, answer) in before)
            Assert.True(answer.Equals(after[question]), $"{question}: {answer} has become {after[question]}");
        var now = await AnswersAsync("then", await LastRecordTimeAsync("modules/then-late"));
        Assert.All(now.Keys, question => Assert.False(now[question].Equals(before[question]), $"{question} is as before"));

        // But for what they say of the state of the record, they are what was answered then.
        var fit = (FitLivesResponse)before["fit"];
        Assert.Equal(fresh.Fit, fit.Fit);
        Assert.Equal(then, fit.SampleSummary.AsOfRecordTime);
        Assert.Empty(fit.Revision);
    }

    [Fact]
    public async Task Cohorts_of_two_states_of_the_record_are_compared()
    {
        await PostedFleet.PostAsync(shared.Clients, "states");
        var then = await LastRecordTimeAsync("modules/states-live");
        await CorrectAsync("states");
        var now = new Cohort { ModuleModels = { "moduleModels/states" } };

        var answer = await shared.Clients.Analysis.CompareCohortsAsync(
            new CompareCohortsRequest
            {
                Groups =
                {
                    new CohortGroup { Name = "then", Cohort = new Cohort(now) { AsOfRecordTime = then } },
                    new CohortGroup { Name = "now", Cohort = now },
                },
                MinimumRevision = await RevisionAsync("modules/states-late"),
            },
            cancellationToken: Token);

        Assert.Equal([10L, 9L], answer.Cohorts.Select(cohort => cohort.SampleSummary.FailedCount));
    }

    [Fact]
    public async Task A_prediction_stands_on_the_instant_of_its_record_unless_another_is_given()
    {
        await PostedFleet.PostAsync(shared.Clients, "stood");
        var then = await LastRecordTimeAsync("modules/stood-live");

        var prediction = await shared.Clients.Forecast.PredictFailureAsync(
            new PredictFailureRequest { Name = "modules/stood-live", AsOfRecordTime = then }, cancellationToken: Token);
        var earlier = await shared.Clients.Forecast.PredictFailureAsync(
            new PredictFailureRequest { Name = "modules/stood-live", AsOfRecordTime = then, AsOfTime = Time(2024, 4, 1) },
            cancellationToken: Token);

        Assert.Equal(then, prediction.AsOfTime);
        Assert.Equal(Time(2024, 4, 1), earlier.AsOfTime);
        Assert.Equal([then, then], new[] { prediction, earlier }.Select(answer => answer.Cohort.AsOfRecordTime));
    }

    [Fact]
    public async Task Json_takes_the_instant_in_query_and_body()
    {
        await PostedFleet.PostAsync(shared.Clients, "json-then");
        var then = await LastRecordTimeAsync("modules/json-then-live");
        var text = then.ToDateTimeOffset().ToString("O", CultureInfo.InvariantCulture).Replace("+00:00", "Z", StringComparison.Ordinal);
        await CorrectAsync("json-then");

        var module = await GetAsync($"/v1/modules/json-then-0?asOfRecordTime={text}", Module.Parser);
        var lives = await GetAsync(
            $"/v1/lives?cohort.moduleModels=moduleModels/json-then&cohort.asOfRecordTime={text}", ListLivesResponse.Parser);
        using var content = new StringContent(
            $$$"""{"cohort": {"moduleModels": ["moduleModels/json-then"], "asOfRecordTime": "{{{text}}}"}}""", Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(new Uri("/v1/lives:fit", UriKind.Relative), content, Token);
        var fit = FitLivesResponse.Parser.ParseJson(await response.Content.ReadAsStringAsync(Token));

        Assert.Equal(ModuleState.Removed, module.State);
        Assert.Equal(11, lives.Lives.Count);
        Assert.Equal(10, fit.SampleSummary.FailedCount);
    }

    [Fact]
    public async Task An_instant_to_come_is_refused_by_the_name_of_its_field()
    {
        var future = Timestamp.FromDateTimeOffset(DateTimeOffset.UtcNow.AddHours(1));
        var cohort = new Cohort { AsOfRecordTime = future };
        (string Field, Func<Task> Ask)[] questions =
        [
            ("as_of_record_time", async () => await History.GetModuleAsync(new GetModuleRequest { Name = "modules/x", AsOfRecordTime = future }, cancellationToken: Token)),
            ("as_of_record_time", async () => await History.ListModulesAsync(new ListModulesRequest { AsOfRecordTime = future }, cancellationToken: Token)),
            ("as_of_record_time", async () => await History.ListModuleEventsAsync(new ListModuleEventsRequest { Parent = "modules/x", AsOfRecordTime = future }, cancellationToken: Token)),
            ("as_of_record_time", async () => await shared.Clients.Forecast.PredictFailureAsync(new PredictFailureRequest { Name = "modules/x", AsOfRecordTime = future }, cancellationToken: Token)),
            ("cohort.as_of_record_time", async () => await History.ListLivesAsync(new ListLivesRequest { Cohort = cohort }, cancellationToken: Token)),
            ("cohort.as_of_record_time", async () => await shared.Clients.Analysis.FitLivesAsync(new FitLivesRequest { Cohort = cohort }, cancellationToken: Token)),
            ("groups[1].cohort.as_of_record_time", async () => await shared.Clients.Analysis.CompareCohortsAsync(
                new CompareCohortsRequest { Groups = { new CohortGroup { Name = "a", Cohort = new() }, new CohortGroup { Name = "b", Cohort = cohort } } }, cancellationToken: Token)),
        ];

        foreach (var (field, ask) in questions)
        {
            var refused = await Assert.ThrowsAsync<RpcException>(ask);
            Assert.Equal(StatusCode.InvalidArgument, refused.StatusCode);
            Assert.Equal([field], StatusDetails.Fields(StatusDetails.Of(refused)));
        }
    }

    [Fact]
    public async Task Before_the_first_record_there_is_nothing()
    {
        await PostedFleet.PostAsync(shared.Clients, "nothing");
        var before = Time(2020, 1, 1);

        var module = await Assert.ThrowsAsync<RpcException>(async () => await History.GetModuleAsync(
            new GetModuleRequest { Name = "modules/nothing-0", AsOfRecordTime = before }, cancellationToken: Token));
        var fit = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Analysis.FitLivesAsync(
            Fit("nothing", before), cancellationToken: Token));
        var modules = await History.ListModulesAsync(new ListModulesRequest { AsOfRecordTime = before }, cancellationToken: Token);

        Assert.Equal(StatusCode.NotFound, module.StatusCode);
        Assert.Equal("NO_OBSERVATIONS", StatusDetails.Reason(StatusDetails.Of(fit)));
        Assert.Empty(modules.Modules);
    }

    private static FitLivesRequest Fit(string model, Timestamp? asOf) =>
        new() { Cohort = new() { ModuleModels = { "moduleModels/" + model }, AsOfRecordTime = asOf }, IncludePlot = true };

    /// <summary>A retraction, a late event, a module not heard of before, and other rated hours.</summary>
    private async Task CorrectAsync(string source)
    {
        var posting = new Posting(shared.Clients, source);
        var target = $"modules/{source}-0-f";
        await posting.ReceiptsAsync(
            posting.Event("wrong-f", $"modules/{source}-0", Time(2024, 3, 25), e => e.Retracted = new() { TargetSource = source, TargetEventId = target }),
            posting.Event("wrong-r", $"modules/{source}-0", Time(2024, 3, 25), e => e.Retracted = new() { TargetSource = source, TargetEventId = $"modules/{source}-0-r" }),
            posting.Event("late", $"modules/{source}-live", Time(2024, 2, 15), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 400 } } }),
            posting.Event("more", $"modules/{source}-live", Time(2024, 4, 10), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 960 } } }));
        await shared.Clients.Catalogue.UpdateModuleModelAsync(
            new UpdateModuleModelRequest { ModuleModel = new() { Name = "moduleModels/" + source, RatedLives = { new RatedLife { RatedHours = 1500 } } } },
            cancellationToken: Token);
        await posting.ReceiptsAsync(
            posting.Event("new", $"modules/{source}-late", Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/" + source, AgeHours = 0, ReadingHours = 0 }));
    }

    private async Task<SortedDictionary<string, IMessage>> AnswersAsync(string model, Timestamp asOf)
    {
        var cohort = new Cohort { ModuleModels = { "moduleModels/" + model }, AsOfRecordTime = asOf };
        using var fleet = shared.Clients.Forecast.PredictFailures(
            new PredictFailuresRequest { Filter = "module_model = moduleModels/" + model, AsOfRecordTime = asOf }, cancellationToken: Token);
        var predictions = await fleet.ResponseStream.ReadAllAsync(Token).ToListAsync(Token);
        return new(StringComparer.Ordinal)
        {
            ["module"] = await History.GetModuleAsync(new GetModuleRequest { Name = $"modules/{model}-live", AsOfRecordTime = asOf }, cancellationToken: Token),
            ["modules"] = await History.ListModulesAsync(new ListModulesRequest { Filter = "module_model = moduleModels/" + model, AsOfRecordTime = asOf }, cancellationToken: Token),
            ["events"] = await History.ListModuleEventsAsync(new ListModuleEventsRequest { Parent = $"modules/{model}-0", AsOfRecordTime = asOf }, cancellationToken: Token),
            ["lives"] = await History.ListLivesAsync(new ListLivesRequest { Cohort = cohort }, cancellationToken: Token),
            ["fit"] = await shared.Clients.Analysis.FitLivesAsync(Fit(model, asOf), cancellationToken: Token),
            ["survival"] = await shared.Clients.Analysis.EstimateSurvivalAsync(new EstimateSurvivalRequest { Cohort = cohort }, cancellationToken: Token),
            ["prediction"] = await shared.Clients.Forecast.PredictFailureAsync(new PredictFailureRequest { Name = $"modules/{model}-live", AsOfRecordTime = asOf }, cancellationToken: Token),
            ["fleet"] = predictions.Single(answer => answer.Prediction?.Name == $"modules/{model}-live"),
            ["fleet size"] = new Int32Value { Value = predictions.Count },
        };
    }

    private async Task<Timestamp> LastRecordTimeAsync(string module)
    {
        var record = await History.ListModuleEventsAsync(new ListModuleEventsRequest { Parent = module }, cancellationToken: Token);
        return record.Events.Select(recorded => recorded.RecordTime).Max()!;
    }

    private async Task<string> RevisionAsync(string module) =>
        (await History.GetModuleAsync(new GetModuleRequest { Name = module }, cancellationToken: Token)).Revision;

    private async Task<T> GetAsync<T>(string path, MessageParser<T> parser)
        where T : IMessage<T> =>
        parser.ParseJson(await shared.Clients.Http.GetStringAsync(new Uri(path, UriKind.Relative), Token));
}
