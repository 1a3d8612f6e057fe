using System.Diagnostics;
using System.Globalization;
using System.Net.Http.Json;
using System.Text;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Npgsql;
using OpenTelemetry.Logs;
using OpenTelemetry.Metrics;
using OpenTelemetry.Trace;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Records;
using Reliability.EndToEnd.Running;
using Reliability.Service.Hosting;
using Reliability.Store;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>
/// Notes and actors' ids are in the record of the module, and nowhere else: not in answers, refusals, watches, exports, what is
/// told of uploads, tables of what is derived, logs of the service or of PostgreSQL, traces or metrics.
/// </summary>
public sealed class PrivacyTests
{
    private const string Note = "unmistakablenote by the window", Actor = "unmistakableactor-0815", Module = "modules/private";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Notes_and_actors_are_in_the_record_and_nowhere_else()
    {
        var folder = TemporaryFolder.Create();
        var (grpcPort, httpPort) = FreePorts.Take();
        var (spans, metrics, records) = (new List<Activity>(), new List<Metric>(), new List<LogRecord>());
        var logs = new Lines();
        var said = new List<string>();
        await using (var app = ServiceProgram.Build(
            [$"--Endpoints:Grpc={Address(grpcPort)}", $"--Endpoints:Http={Address(httpPort)}", "--DataDirectory=" + folder, "--Logging:LogLevel:Default=Debug"],
            builder =>
            {
                builder.Logging.ClearProviders().AddProvider(logs).SetMinimumLevel(LogLevel.Debug);
                builder.Services.AddOpenTelemetry()
                    .WithTracing(traces => traces.AddInMemoryExporter(spans))
                    .WithMetrics(meters => meters.AddInMemoryExporter(metrics))
                    .WithLogging(told => told.AddInMemoryExporter(records));
            }))
        {
            await app.Services.GetRequiredService<ReliabilityStore>().StartAsync(Cancellation);
            await app.StartAsync(Cancellation);
            using var clients = new ServiceClients(Address(grpcPort), Address(httpPort));
            await Posting.ModelAsync(clients, "private-lamp", 2000);
            await PostOverGrpcAsync(clients, said);
            await PostOverJsonAsync(clients, said);
            await PostByCommandLineAsync(grpcPort, folder, said);
            await UploadAsync(clients, said);
            await AskEverythingAsync(clients, said);
            await AskByCommandLineAsync(grpcPort, folder, said);
            await ExportAsync(clients, said);

            var record = (await clients.History.ListModuleEventsAsync(
                new ListModuleEventsRequest { Parent = Module }, cancellationToken: Cancellation)).Events;
            Assert.Contains(record, e => e.Event.Note == Note);
            Assert.Contains(record, e => e.Event.ActorId == Actor);
            said.AddRange(await DerivedTablesAsync(folder));
            app.Services.GetRequiredService<MeterProvider>().ForceFlush();
            await app.StopAsync(Cancellation);
        }

        var postgres = Directory.EnumerateFiles(Path.Combine(folder, "postgresql"), "*", SearchOption.AllDirectories)
            .Where(file => file.Contains("/log/", StringComparison.Ordinal) || file.EndsWith(".log", StringComparison.Ordinal)).ToList();
        Assert.NotEmpty(postgres);
        Assert.NotEmpty(spans);
        Assert.True(logs.Text.Length > 1_000, "The log was not collected.");
        foreach (var (where, text) in new[]
        {
            ("answers", string.Join('\n', said)),
            ("the log", logs.Text),
            ("exported logs", string.Join('\n', records.Select(Everything))),
            ("traces", string.Join('\n', spans.Select(Everything))),
            ("metrics", string.Join('\n', metrics.SelectMany(Everything))),
            ("the log of PostgreSQL", string.Join('\n', postgres.Select(File.ReadAllText))),
        })
        {
            Assert.False(text.Contains("unmistakablenote", StringComparison.OrdinalIgnoreCase), $"A note is in {where}.");
            Assert.False(text.Contains("unmistakableactor", StringComparison.OrdinalIgnoreCase), $"An actor is in {where}.");
        }

        Directory.Delete(folder, recursive: true);
    }

    private static async Task PostOverGrpcAsync(ServiceClients clients, List<string> said)
    {
        var posting = new Posting(clients, "private");
        ModuleEvent[] right =
        [
            Private(posting.Event("e1", Module, Posting.Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/private-lamp", AgeHours = 0, ReadingHours = 0 })),
            Private(posting.Event("e2", Module, Posting.Time(2024, 1, 1), e => e.Installed = new() { HostDevice = "h", ReadingHours = 0, Site = "Velsham Children's" })),
            Private(posting.Event("e3", Module, Posting.Time(2024, 2, 1), e => e.RunHoursRead = Read(300))),
            Private(posting.Event("e4", Module, Posting.Time(2024, 3, 1), e => e.Failed = new() { FailureMode = "no light", ReadingHours = 500 })),
            Private(posting.Event("e5", Module, Posting.Time(2024, 3, 2), e => e.Replaced = new()
            {
                TargetSource = "private",
                TargetEventId = "e4",
                Event = new() { OccurTime = Posting.Time(2024, 3, 1), Failed = new() { ReadingHours = 510 } },
            })),
            // An actor without a note goes into a sheet.
            new(posting.Event("e6", Module, Posting.Time(2024, 2, 2), e => e.RunHoursRead = Read(310))) { ActorId = Actor },
        ];
        said.AddRange((await posting.ReceiptsAsync(right)).Select(receipt => receipt.ToString()));
        said.AddRange((await posting.ReceiptsAsync(right)).Select(receipt => receipt.ToString()));
        // Refused: another body, wrong hours, and a note and an actor that break their own rules.
        said.AddRange((await posting.ResultsAsync(
            Private(posting.Event("e3", Module, Posting.Time(2024, 2, 1), e => e.RunHoursRead = Read(999))),
            Private(posting.Event("w1", Module, Posting.Time(2024, 2, 1), e => e.RunHoursRead = Read(-1))),
            new(posting.Event("w2", Module, Posting.Time(2024, 2, 1), e => e.RunHoursRead = Read(1)))
            {
                Note = string.Concat(Enumerable.Repeat(Note, 20)),
                ActorId = string.Concat(Enumerable.Repeat(Actor, 20)),
            },
            new(posting.Event("w3", Module, Posting.Time(2024, 2, 1), e => e.RunHoursRead = Read(1))) { Note = Note + "\a", ActorId = Actor + "\a" }))
            .Select(result =>
            {
                Assert.Equal(RecordEventResult.OutcomeOneofCase.Error, result.OutcomeCase);
                return result.ToString();
            }));
        using var stream = clients.History.StreamEvents(cancellationToken: Cancellation);
        await stream.RequestStream.WriteAsync(
            new StreamEventsRequest { Events = { Private(posting.Event("s1", Module, Posting.Time(2024, 2, 5), e => e.RunHoursRead = Read(320))) } }, Cancellation);
        await stream.RequestStream.CompleteAsync();
        await foreach (var response in stream.ResponseStream.ReadAllAsync(Cancellation))
            said.Add(response.ToString());
    }

    private static async Task PostOverJsonAsync(ServiceClients clients, List<string> said)
    {
        string[] bodies =
        [
            Body("\"runHoursRead\": {\"readings\": [{\"hours\": 330}]}"), Body("\"runHoursRead\": {\"readings\": [{\"hours\": \"NaN\"}]}"),
            Body("\"repainted\": {}"), Body("\"runHoursRead\": {\"readings\": 3"), Body($"\"note\": \"{Note}\", \"actorId\": \"{Actor}\""),
            $$"""{"events": [{"note": ["{{Note}}"], "actorId": {"a": "{{Actor}}"} }]}""",
        ];
        foreach (var body in bodies)
        {
            using var content = new StringContent(body, Encoding.UTF8, "application/json");
            using var answer = await clients.Http.PostAsync(new Uri("/v1/events:record", UriKind.Relative), content, Cancellation);
            said.Add(await answer.Content.ReadAsStringAsync(Cancellation));
        }

        static string Body(string what) =>
            $$"""{"events": [{"eventId": "j1", "source": "private-json", "module": "{{Module}}", "occurTime": "2024-02-10T00:00:00Z", "note": "{{Note}}", "actorId": "{{Actor}}", {{what}} }]}""";
    }

    private static async Task PostByCommandLineAsync(int grpcPort, string folder, List<string> said)
    {
        var file = Path.Combine(folder, "events.jsonl");
        await File.WriteAllLinesAsync(
            file,
            [
                Line("c1", "\"runHoursRead\": {\"readings\": [{\"hours\": 340}]}"), Line("c2", "\"runHoursRead\": {\"readings\": [{\"hours\": -4}]}"),
            ],
            Cancellation);
        foreach (var command in new[]
        {
            ["post", file], new[] { "module", "private" }, ["lives"], ["modules"], ["predict", "private"], ["predict-fleet"],
            ["retract", "private", "private-cli", "c1"], ["erase-note", "private", "private-cli", "c1"], ["watch", "--from-start", "--limit", "8", "--json"],
        })
        {
            var ended = await CommandLineProcess.RunAsync(Address(grpcPort), command);
            said.Add(ended.ToString());
        }

        static string Line(string id, string what) =>
            $$"""{"eventId": "{{id}}", "source": "private-cli", "module": "{{Module}}", "occurTime": "2024-02-20T00:00:00Z", "note": "{{Note}}", "actorId": "{{Actor}}", {{what}} }""";
    }

    /// <summary>
    /// Files with notes and actors, right rows and wrong ones. A rejected row is its poster's own and stands in the answer as it
    /// was; what is said about it names neither.
    /// </summary>
    private static async Task UploadAsync(ServiceClients clients, List<string> said)
    {
        const string Header = "event_id,event,module,occur_time,reading_hours,note,actor_id\n";
        const string Mapping = """
            {"constants": {"source": "private-mapped"}, "tables": {"people": {"p1": "a-1"}},
             "rows": [{"when": {"Typ": ["READ"]}, "events": [{"event": "run_hours_read", "fields": {"event_id": "No", "module": "Lamp",
               "occur_time": "Day", "reading_hours": "Hours", "note": "Remark", "actor_id": {"column": "Who", "table": "people"}}}]}]}
            """;
        (string Query, string? Mapping, string Name, string Text)[] files =
        [
            ("?source=private-upload", null, "u.csv", Header
                + $"u1,run_hours_read,private,2024-02-21T00:00Z,350,{Note},{Actor}\n"
                + $"u2,run_hours_read,private,2024-02-22T00:00Z,many,{Note},{Actor}\n"
                + $"u3,run_hours_read,private,2024-02-23T00:00Z,-4,{Note},{Actor}\n"
                + $"u4,exploded,private,2024-02-24T00:00Z,4,={Note},={Actor}\n"
                + $"u1,run_hours_read,private,2024-02-21T00:00Z,999,{Note},{Actor}\n"
                + $"u5,run_hours_read,private,2024-02-24T00:00Z,4,{string.Concat(Enumerable.Repeat(Note, 20))},{string.Concat(Enumerable.Repeat(Actor, 20))}\n"
                + $"u6,run_hours_read,private,2024-02-24T00:00Z,4,\"{Note},{Actor}\n"),
            ("?source=private-check&validate_only=true", null, "c.csv", Header
                + $"u1,run_hours_read,private,2024-02-21T00:00Z,350,{Note},{Actor}\nu2,run_hours_read,private,,x,{Note},{Actor}\n"),
            ("", null, "u.jsonl", $$"""{"eventId": "l1", "source": "private-lines", "module": "{{Module}}", "note": "{{Note}}", "actorId": "{{Actor}}" """ + "\n"
                + $$"""{"eventId": "l2", "source": "private-lines", "module": "{{Module}}", "note": ["{{Note}}"], "actorId": {"{{Actor}}": 1} }""" + "\n"),
            ("", Mapping, "m.csv", "No,Typ,Lamp,Day,Hours,Remark,Who\n"
                + $"1,READ,private,2024-02-25,360,{Note},p1\n2,READ,private,2024-02-26,370,{Note},{Actor}\n3,SEEN,private,2024-02-26,370,{Note},{Actor}\n"),
        ];
        foreach (var (query, mapping, name, text) in files)
        {
            using var form = new MultipartFormDataContent();
            if (mapping is not null)
                form.Add(new StringContent(mapping), "mapping");
            form.Add(new ByteArrayContent(Encoding.UTF8.GetBytes(text)), "file", name);
            using var answer = await clients.Http.PostAsync(new Uri("/v1/events:upload" + query, UriKind.Relative), form, Cancellation);
            var response = UploadEventsResponse.Parser.ParseJson(await answer.Content.ReadAsStringAsync(Cancellation));
            Assert.Contains(response.RejectedRows, row => row.Row.Contains("unmistakable", StringComparison.Ordinal));
            said.Add(Without(response.RejectedRows) + response.Upload);
            var kept = await clients.History.ListRejectedRowsAsync(new() { Parent = response.Upload.Name }, cancellationToken: Cancellation);
            Assert.Equal(response.RejectedRows, kept.RejectedRows);
            said.Add(Without(kept.RejectedRows));
            said.Add((await clients.History.GetUploadAsync(new() { Name = response.Upload.Name }, cancellationToken: Cancellation)).ToString());
            said.Add((await clients.History.ListUploadsAsync(new(), cancellationToken: Cancellation)).ToString());
            await clients.History.DeleteUploadAsync(new() { Name = response.Upload.Name }, cancellationToken: Cancellation);
        }

        static string Without(IEnumerable<RejectedRow> rows) =>
            string.Join('\n', rows.Select(row => new RejectedRow(row) { Row = string.Empty }.ToString()));
    }

    /// <summary>The lives as a file over gRPC and HTTP, and the record as it is followed over HTTP.</summary>
    private static async Task ExportAsync(ServiceClients clients, List<string> said)
    {
        foreach (var cohort in new[] { new Cohort(), new Cohort { IncludeFlagged = true, DataCutoffTime = Posting.Time(2024, 6, 1) } })
        {
            using var export = clients.History.ExportLives(new ExportLivesRequest { Cohort = cohort }, cancellationToken: Cancellation);
            var file = string.Concat(await export.ResponseStream.ReadAllAsync(Cancellation).Select(chunk => chunk.Data.ToStringUtf8()).ToListAsync(Cancellation));
            Assert.Contains("private-lamp", file, StringComparison.Ordinal);
            said.Add(file);
        }

        said.Add(await clients.Http.GetStringAsync(new Uri("/v1/lives:export", UriKind.Relative), Cancellation));
        await using var watch = await clients.Http.GetStreamAsync(new Uri("/v1/events:watch", UriKind.Relative), Cancellation);
        using var lines = new StreamReader(watch);
        for (var events = 0; events < 12;)
        {
            var line = (await lines.ReadLineAsync(Cancellation))!;
            said.Add(line);
            events += WatchEventsResponse.Parser.ParseJson(line).Events.Count;
        }
    }

    private static async Task AskByCommandLineAsync(int grpcPort, string folder, List<string> said)
    {
        var csv = Path.Combine(folder, "lives.csv");
        foreach (var command in new[]
        {
            ["lives", "--csv", csv], new[] { "fit", "--model", "private-lamp", "--json" }, ["survival", "--model", "private-lamp"],
            ["compare", "--model", "private-lamp"], ["attributes", "site"], ["aliases", "list"],
            ["replace", "private", "private-json", "j1", "--with", """{"occurTime": "2024-02-10T00:00:00Z", "runHoursRead": {"readings": [{"hours": 331}]}}"""],
        })
            said.Add((await CommandLineProcess.RunAsync(Address(grpcPort), command)).ToString());
        said.Add(await File.ReadAllTextAsync(csv, Cancellation));
    }

    /// <summary>
    /// Every row of every table that is no record of events: lives, states of modules, identifiers, aliases, uploads and their
    /// rejected rows, which are deleted by now.
    /// </summary>
    private static async Task<IReadOnlyList<string>> DerivedTablesAsync(string folder)
    {
        await using var database = NpgsqlDataSource.Create(await PrivateClusterAccess.ConnectionStringAsync(folder));
        var tables = await ReadAsync(
            "select table_name from information_schema.tables where table_schema = 'reliability' and table_name not in ('mt_events', 'module_readings')");
        Assert.Contains("lives", tables);
        Assert.Contains("rejected_row", tables);
        var rows = new List<string>();
        foreach (var table in tables)
        {
            rows.AddRange(await ReadAsync($"select t::text from reliability.\"{table}\" as t"));
        }

        // PostgreSQL shows bytes in hexadecimal: what is sought is put back into text.
        Assert.NotEmpty(rows);
        return [.. rows.Select(row => row
            .Replace(Hexadecimal("unmistakablenote"), "unmistakablenote", StringComparison.Ordinal)
            .Replace(Hexadecimal("unmistakableactor"), "unmistakableactor", StringComparison.Ordinal))];

        static string Hexadecimal(string text) => Convert.ToHexStringLower(Encoding.UTF8.GetBytes(text));

        async Task<List<string>> ReadAsync(string sql)
        {
            await using var command = database.CreateCommand(sql);
            await using var reader = await command.ExecuteReaderAsync(Cancellation);
            var read = new List<string>();
            while (await reader.ReadAsync(Cancellation))
                read.Add(reader.GetString(0));
            return read;
        }
    }

    private static async Task AskEverythingAsync(ServiceClients clients, List<string> said)
    {
        foreach (var path in new[]
        {
            "/v1/modules", "/v1/modules?showRetired=true", "/v1/modules/private", "/v1/lives", "/v1/lifeModels", "/v1/moduleModels",
            "/v1/attributeValues?attribute=ATTRIBUTE_SITE", "/openapi/v1.json", "/healthz/ready", "/v1/modules/private/events?pageSize=-1",
        })
            said.Add(await (await clients.Http.GetAsync(new Uri(path, UriKind.Relative), Cancellation)).Content.ReadAsStringAsync(Cancellation));
        foreach (var (path, body) in new (string, object)[]
        {
            ("/v1/lives:fit", new { cohort = new { moduleModels = new[] { "moduleModels/private-lamp" } } }),
            ("/v1/lives:fit", new { cohort = new { includeFlagged = true } }),
            ("/v1/lifeModels:assess", new { cohort = new { } }),
            ("/v1/survival:estimate", new { cohort = new { } }),
            ("/v1/cohorts:compare", new { groups = new[] { new { name = "a", cohort = new { } }, new { name = "b", cohort = new { } } } }),
            ("/v1/modules/private:predictFailure", new { }),
            ("/v1/modules:predictFailures", new { filter = "state = FAILED_IN_PLACE" }),
            ("/v1/modules/private/events:eraseNote", new { source = "private", eventId = "unknown" }),
        })
        {
            using var answer = await clients.Http.PostAsJsonAsync(path, body, Cancellation);
            said.Add(await answer.Content.ReadAsStringAsync(Cancellation));
        }

        var alias = await clients.History.CreateAliasAsync(
            new CreateAliasRequest { Alias = new() { Kind = AliasKind.Module, Alternate = "modules/private-too", Primary = Module } }, cancellationToken: Cancellation);
        said.Add(alias.ToString());
        said.Add((await clients.History.ListAliasesAsync(new(), cancellationToken: Cancellation)).ToString());
        said.Add((await clients.History.GetModuleAsync(new() { Name = "modules/private-too", MinimumRevision = alias.Revision }, cancellationToken: Cancellation)).ToString());
        using var watch = clients.History.WatchEvents(new WatchEventsRequest(), cancellationToken: Cancellation);
        for (var events = 0; events < 9 && await watch.ResponseStream.MoveNext(Cancellation);)
        {
            events += watch.ResponseStream.Current.Events.Count;
            said.Add(watch.ResponseStream.Current.ToString());
        }
    }

    private static ModuleEvent Private(ModuleEvent posted)
    {
        (posted.Note, posted.ActorId) = (Note, Actor);
        return posted;
    }

    private static RunHoursRead Read(double hours) => new() { Readings = { new MeterReading { Hours = hours } } };

    private static string Everything(LogRecord record) =>
        $"{record.Body} {record.FormattedMessage} {string.Join(' ', record.Attributes?.Select(pair => $"{pair.Key}={pair.Value}") ?? [])} {record.Exception}";

    private static string Everything(Activity span) =>
        $"{span.DisplayName} {span.StatusDescription} {string.Join(' ', span.TagObjects.Select(tag => $"{tag.Key}={tag.Value}"))} "
        + string.Join(' ', span.Events.SelectMany(e => e.Tags.Select(tag => $"{e.Name} {tag.Key}={tag.Value}"))) + string.Join(' ', span.Baggage);

    private static IEnumerable<string> Everything(Metric metric)
    {
        yield return $"{metric.Name} {metric.Description}";
        foreach (ref readonly var point in metric.GetMetricPoints())
        {
            var tags = new List<string>();
            foreach (var tag in point.Tags)
                tags.Add($"{tag.Key}={tag.Value}");
            yield return string.Join(' ', tags);
        }
    }

    private static Uri Address(int port) => new(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}"));

    /// <summary>Keeps every line that the service logs, with its exception.</summary>
    private sealed class Lines : ILoggerProvider, ILogger
    {
        private readonly StringBuilder _text = new();

        public string Text
        {
            get
            {
                lock (_text)
                    return _text.ToString();
            }
        }

        public ILogger CreateLogger(string categoryName) => this;

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(
            LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            lock (_text)
                _text.AppendLine(formatter(state, exception)).AppendLine(exception?.ToString());
        }

        public void Dispose()
        {
        }
    }
}
