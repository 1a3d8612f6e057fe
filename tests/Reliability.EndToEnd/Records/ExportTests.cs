using System.Text;
using Grpc.Core;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Lives as a CSV file: over gRPC, HTTP and the command line, and asked about again.</summary>
public sealed class ExportTests(SharedService shared) : IDisposable
{
    private readonly string _folder = TemporaryFolder.Create();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_file_has_a_line_a_life_with_where_it_comes_from()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "exported");

        var file = Encoding.UTF8.GetString(await ExportAsync(new() { Cohort = Cohort("exported"), MinimumRevision = revision }));

        var lines = file.Split("\r\n");
        Assert.Equal(
            "outcome,hours,lower_hours,upper_hours,entry_hours,failure_mode,exclusion_reason,flags,module,life_number,module_model,"
            + "condition,refurbishment_count,refurbisher,site,host_model,lot,start_time,end_time,in_service,removal_reason,revision",
            lines[0]);
        Assert.Equal(13, lines.Length);
        Assert.Empty(lines[^1]);
        Assert.StartsWith(
            "failed,420,,,0,no light,,,exported-0,1,exported,new,0,,,,,2024-01-01T00:00:00Z,2024-03-20T00:00:00Z,no,failed,", lines[1]);
        Assert.StartsWith(
            "survived,905,,,0,,,,exported-live,1,exported,new,0,,,,,2024-01-01T00:00:00Z,2024-04-01T00:00:00Z,yes,,", lines[11]);
    }

    [Fact]
    public async Task Http_gives_the_same_bytes_as_a_download()
    {
        await PostedFleet.PostAsync(shared.Clients, "downloaded");
        await WaitAsync("downloaded");
        var expected = await ExportAsync(new() { Cohort = Cohort("downloaded") });

        using var response = await shared.Clients.Http.GetAsync(
            new Uri("/v1/lives:export?cohort.moduleModels=moduleModels/downloaded", UriKind.Relative), Token);

        Assert.Equal(expected, await response.Content.ReadAsByteArrayAsync(Token));
        Assert.Equal("text/csv", response.Content.Headers.ContentType?.MediaType);
        Assert.Equal("lives.csv", response.Content.Headers.ContentDisposition?.FileName?.Trim('"'));
        using var refused = await shared.Clients.Http.GetAsync(
            new Uri("/v1/lives:export?cohort.asOfRecordTime=2999-01-01T00:00:00Z", UriKind.Relative), Token);
        Assert.Equal(["cohort.as_of_record_time"], StatusDetails.Fields(await StatusDetails.OfAsync(refused)));
        Assert.Null(refused.Content.Headers.ContentDisposition);
    }

    [Fact]
    public async Task A_file_fitted_by_the_command_line_gives_the_fit_of_the_cohort()
    {
        var revision = await PostedFleet.PostAsync(shared.Clients, "refitted");
        var posting = new Posting(shared.Clients, "refitted");
        var receipts = await posting.ReceiptsAsync(
            // Between two ages, after a late entry; and one that enters no sample.
            Row(posting, "between", "asset:RF-1", row => (row.AgeLastWorking, row.CompleteFrom, row.AgeAtObservation) = (500, Time(2022, 1, 1), 100)),
            Row(posting, "excluded", "asset:RF-2", _ => { }));
        await shared.Clients.History.ListLivesAsync(new ListLivesRequest { MinimumRevision = receipts[^1].Revision, PageSize = 1 }, cancellationToken: Token);
        var path = Path.Combine(_folder, "lives.csv");

        var saved = await RunAsync("lives", "--model", "refitted", "--csv", path);
        var refitted = await RunAsync("fit", "--sample", path, "--json");
        var shown = await RunAsync("fit", "--sample", path);
        var fit = await shared.Clients.Analysis.FitLivesAsync(
            new FitLivesRequest { Cohort = Cohort("refitted"), MinimumRevision = revision }, cancellationToken: Token);

        Assert.Equal((0, ""), (saved.ExitCode, saved.Error));
        Assert.Equal((0, ""), (refitted.ExitCode, refitted.Error));
        Assert.Contains("(1 excluded left out)", shown.Out, StringComparison.Ordinal);
        var answer = FitLivesResponse.Parser.ParseJson(refitted.Out);
        Assert.Equal((10, 1, 1), (fit.SampleSummary.FailedCount, fit.SampleSummary.SurvivedCount, fit.SampleSummary.BetweenCount));
        Assert.Equal((10, 1, 1), (answer.SampleSummary.FailedCount, answer.SampleSummary.SurvivedCount, answer.SampleSummary.BetweenCount));
        Assert.Equal(fit.SampleSummary.LateEntryCount, answer.SampleSummary.LateEntryCount);
        foreach (var (name, estimate) in fit.Fit.Parameters)
            Assert.Equal(estimate.Value, answer.Fit.Parameters[name].Value, 1e-12 * estimate.Value);
        Assert.Equal(fit.Fit.LogLikelihood, answer.Fit.LogLikelihood, 1e-12 * Math.Abs(fit.Fit.LogLikelihood));
        Assert.Empty(Directory.GetFiles(_folder, "*.part"));
    }

    [Fact]
    public async Task Texts_are_quoted_and_none_is_a_formula_and_no_note_or_person_is_in_it()
    {
        await ModelAsync(shared.Clients, "quoted", 2000);
        var posting = new Posting(shared.Clients, "quoted");
        var row = Row(posting, "1", "asset:QU-1", life => (life.CompleteFrom, life.Site, life.Lot, life.HostModel, life.Condition) =
            (Time(2022, 1, 1), "Ward \"B\", second", "=1+2", "@home", new() { RefurbishmentCount = 1, Refurbisher = "-bench" }));
        (row.Note, row.ActorId) = ("a note of somebody", "actor-7");
        var receipts = await posting.ReceiptsAsync(row);

        var file = Encoding.UTF8.GetString(await ExportAsync(new() { Cohort = Cohort("quoted"), MinimumRevision = receipts[0].Revision }));

        Assert.Contains(",refurbished,1,\"'-bench\",\"Ward \"\"B\"\", second\",\"'@home\",\"'=1+2\",", file, StringComparison.Ordinal);
        Assert.DoesNotContain("a note", file, StringComparison.Ordinal);
        Assert.DoesNotContain("actor-7", file, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_large_file_comes_in_chunks_of_whole_lines_and_an_empty_one_has_its_header()
    {
        await ModelAsync(shared.Clients, "many", 2000);
        var posting = new Posting(shared.Clients, "many");
        var receipts = await posting.ReceiptsAsync(Enumerable.Range(0, 600).Select(i =>
            Row(posting, $"{i}", $"asset:MA-{i}", life => life.CompleteFrom = Time(2022, 1, 1))));
        using var call = shared.Clients.History.ExportLives(
            new ExportLivesRequest { Cohort = Cohort("many"), MinimumRevision = receipts[^1].Revision }, cancellationToken: Token);
        var chunks = await call.ResponseStream.ReadAllAsync(Token).Select(chunk => chunk.Data.ToStringUtf8()).ToListAsync(Token);

        Assert.Equal(3, chunks.Count);
        Assert.All(chunks, chunk => Assert.EndsWith("\r\n", chunk));
        Assert.Equal(602, string.Concat(chunks).Split("\r\n").Length);
        var response = await shared.Clients.Http.GetByteArrayAsync(
            new Uri("/v1/lives:export?cohort.moduleModels=moduleModels/many", UriKind.Relative), Token);
        Assert.Equal(Encoding.UTF8.GetBytes(string.Concat(chunks)), response);
        var none = await ExportAsync(new() { Cohort = Cohort("no-such-model") });
        Assert.Equal(chunks[0].Split("\r\n")[0] + "\r\n", Encoding.UTF8.GetString(none));
    }

    [Fact]
    public async Task An_export_as_of_an_instant_stays_as_it_was()
    {
        await PostedFleet.PostAsync(shared.Clients, "kept");
        await WaitAsync("kept");
        var then = (await shared.Clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = "modules/kept-live" }, cancellationToken: Token)).Events.Select(recorded => recorded.RecordTime).Max();
        var before = await ExportAsync(new() { Cohort = Cohort("kept") });
        var posting = new Posting(shared.Clients, "kept");
        await posting.ReceiptsAsync(posting.Event("more", "modules/kept-live", Time(2024, 4, 10), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 960 } } }));
        await WaitAsync("kept");

        Assert.Equal(before, await ExportAsync(new() { Cohort = new(Cohort("kept")) { AsOfRecordTime = then } }));
        Assert.NotEqual(before, await ExportAsync(new() { Cohort = Cohort("kept") }));
    }

    private static Cohort Cohort(string model) => new() { ModuleModels = { "moduleModels/" + model } };

    private static ModuleEvent Row(Posting posting, string id, string module, Action<LifeReported> set)
    {
        var life = new LifeReported
        {
            ModuleModel = "moduleModels/" + (module.StartsWith("asset:RF", StringComparison.Ordinal) ? "refitted" : module.StartsWith("asset:QU", StringComparison.Ordinal) ? "quoted" : "many"),
            StartTime = Time(2023, 1, 1),
            EndTime = Time(2023, 6, 1),
            AgeAtEnd = 900,
            Outcome = LifeOutcome.Failed,
        };
        set(life);
        return posting.Event(id, module, life.EndTime, e => e.LifeReported = life);
    }

    private async Task<byte[]> ExportAsync(ExportLivesRequest request)
    {
        using var call = shared.Clients.History.ExportLives(request, cancellationToken: Token);
        using var file = new MemoryStream();
        await foreach (var chunk in call.ResponseStream.ReadAllAsync(Token))
            chunk.Data.WriteTo(file);
        return file.ToArray();
    }

    /// <summary>Waits until lives have taken in what was posted of a fleet.</summary>
    private async Task WaitAsync(string source)
    {
        var module = await shared.Clients.History.GetModuleAsync(new GetModuleRequest { Name = $"modules/{source}-live" }, cancellationToken: Token);
        await shared.Clients.History.ListLivesAsync(new ListLivesRequest { MinimumRevision = module.Revision, PageSize = 1 }, cancellationToken: Token);
    }

    private Task<(int ExitCode, string Out, string Error)> RunAsync(params string[] arguments) =>
        CommandLineProcess.RunAsync(shared.Service.GrpcAddress, arguments);
}
