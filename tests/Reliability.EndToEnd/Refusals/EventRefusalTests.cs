using System.Net;
using System.Text;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Refusals;

/// <summary>Events that are wrong in themselves are refused one by one; the others of the call are recorded.</summary>
public sealed class EventRefusalTests(SharedService shared)
{
    private static readonly Timestamp Day = Timestamp.FromDateTimeOffset(new(2024, 5, 1, 8, 0, 0, TimeSpan.Zero));

    private static readonly (string Name, Action<ModuleEvent> Spoil, string Field)[] Wrong =
    [
        ("no id", e => e.EventId = "", "event_id"),
        ("id too long", e => e.EventId = new string('x', 201), "event_id"),
        ("id with a control character", e => e.EventId = "a\0b", "event_id"),
        ("no source", e => e.Source = "", "source"),
        ("no module", e => e.Module = "", "module"),
        ("module of no known form", e => e.Module = "lamp 7", "module"),
        ("capital letters in the module's id", e => e.Module = "modules/Lamp", "module"),
        ("identifier without value", e => e.Module = "serial: ", "module"),
        ("no time", e => e.OccurTime = null, "occur_time"),
        ("time before 1900", e => e.OccurTime = new() { Seconds = -2_300_000_000 }, "occur_time"),
        ("time outside the calendar", e => e.OccurTime = new() { Seconds = long.MaxValue }, "occur_time"),
        ("nanoseconds below 0", e => e.OccurTime = new() { Seconds = 1, Nanos = -1 }, "occur_time"),
        ("unknown precision", e => e.OccurPrecision = (OccurPrecision)9, "occur_precision"),
        ("unknown zone", e => e.Zone = "Mars/Olympus", "zone"),
        ("note too long", e => e.Note = new string('n', 201), "note"),
        ("nothing happened", e => e.ClearEvent(), ""),
        ("negative hours", e => e.RunHoursRead.Readings[0].Hours = -1, "run_hours_read.readings[0].hours"),
        ("hours not a number", e => e.RunHoursRead.Readings[0].Hours = double.NaN, "run_hours_read.readings[0].hours"),
        ("infinite hours", e => e.RunHoursRead.Readings[0].Hours = double.PositiveInfinity, "run_hours_read.readings[0].hours"),
        ("no hours", e => e.RunHoursRead.Readings[0].ClearHours(), "run_hours_read.readings[0].hours"),
        ("no readings", e => e.RunHoursRead.Readings.Clear(), "run_hours_read.readings"),
        ("unknown meter", e => e.RunHoursRead.Meter = (Meter)9, "run_hours_read.meter"),
        ("no model", e => e.Registered = new(), "registered.module_model"),
        ("refurbisher of a new module",
            e => e.Registered = new() { ModuleModel = "moduleModels/a", Condition = new() { Refurbisher = "Vennick Works" } },
            "registered.condition.refurbisher"),
        ("no host", e => e.Installed = new() { ReadingHours = 3 }, "installed.host_device"),
        ("25 hours a day", e => e.Installed = new() { HostDevice = "h", ExpectedHoursPerDay = 25 }, "installed.expected_hours_per_day"),
        ("no reason", e => e.Removed = new(), "removed.reason"),
        ("no right event", e => e.Replaced = new() { TargetSource = "s", TargetEventId = "e" }, "replaced.event"),
        ("a right event with an id", e => e.Replaced = Replaced(right => right.EventId = "e9"), "replaced.event.event_id"),
        ("a right event with a note", e => e.Replaced = Replaced(right => right.Note = "n"), "replaced.event.note"),
        ("a right event of another module", e => e.Replaced = Replaced(right => right.Module = "modules/other"), "replaced.event.module"),
        ("a right event without a time", e => e.Replaced = Replaced(right => right.OccurTime = null), "replaced.event.occur_time"),
        ("a right event without hours", e => e.Replaced = Replaced(right => right.RunHoursRead = new() { Readings = { new MeterReading() } }), "replaced.event.run_hours_read.readings[0].hours"),
        ("a right event that is a correction", e => e.Replaced = Replaced(right => right.Retracted = new() { TargetSource = "s", TargetEventId = "e" }), "replaced.event"),
        ("no target", e => e.Retracted = new() { TargetSource = "s" }, "retracted.target_event_id"),
        ("no output", e => e.OutputMeasured = new() { ReadingHours = 1 }, "output_measured"),
        ("output below 0", e => e.OutputMeasured = new() { Fraction = -0.1 }, "output_measured.fraction"),
        ("output in percent", e => e.OutputMeasured = new() { Fraction = 85 }, "output_measured.fraction"),
        ("one reading of a change missing", e => e.MeterChanged = new() { FinalHours = 5 }, "meter_changed.first_hours"),
        ("row that ends before it starts", e => e.LifeReported = Row(r => r.EndTime = new() { Seconds = 1 }), "life_reported.end_time"),
        ("row without age", e => e.LifeReported = Row(r => r.ClearAgeAtEnd()), "life_reported.age_at_end"),
        ("row last seen working after its end", e => e.LifeReported = Row(r => r.AgeLastWorking = 901), "life_reported.age_last_working"),
        ("row observed after its end", e => e.LifeReported = Row(r => r.AgeAtObservation = 901), "life_reported.age_at_observation"),
        ("row without outcome", e => e.LifeReported = Row(r => r.Outcome = LifeOutcome.Unspecified), "life_reported.outcome"),
        ("row that ran more than 24 hours a day", e => e.LifeReported = Row(r => r.AgeAtEnd = 9_000), "life_reported.age_at_end"),
        ("row that survived and was removed as failed",
            e => e.LifeReported = Row(r => r.RemovalReason = RemovalReason.Failed), "life_reported.outcome"),
        ("row that failed and is in service",
            e => e.LifeReported = Row(r => (r.Outcome, r.InService) = (LifeOutcome.Failed, true)), "life_reported.in_service"),
        ("row that names no module",
            e => (e.Module, e.LifeReported) = ("", Row(r => r.Identifiers.Clear())), "life_reported.identifiers"),
    ];

    [Fact]
    public async Task Each_wrong_event_has_its_own_answer_with_its_field()
    {
        var request = Request("grpc", Wrong);

        var response = await shared.Clients.History.RecordEventsAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);

        Check(Wrong, request, response);
    }

    [Fact]
    public async Task Json_answers_wrong_events_one_by_one_as_well()
    {
        // What protobuf's JSON cannot write never leaves a client, and codes that no proto has never pass the parser.
        var cases = Wrong.Where(wrong => wrong.Name is not ("hours not a number" or "infinite hours" or "unknown meter"
            or "unknown precision" or "time outside the calendar" or "nanoseconds below 0")).ToArray();
        Assert.Equal(Wrong.Length - 6, cases.Length);
        var request = Request("json", cases);
        using var content = new StringContent(JsonFormatter.Default.Format(request), Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri("/v1/events:record", UriKind.Relative), content, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        var text = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        var registry = Google.Protobuf.Reflection.TypeRegistry.FromMessages(
            Google.Rpc.BadRequest.Descriptor, Google.Rpc.ErrorInfo.Descriptor, Google.Rpc.ResourceInfo.Descriptor);
        var parser = new JsonParser(JsonParser.Settings.Default.WithTypeRegistry(registry));
        Check(cases, request, parser.Parse<RecordEventsResponse>(text));
    }

    [Theory]
    [InlineData("""{"occurTime": "2024-02-30T00:00:00Z"}""", "events[0].occur_time")]
    [InlineData("""{"occurTime": "2024-02-03"}""", "events[0].occur_time")]
    [InlineData("""{"occurPrecision": "OCCUR_PRECISION_WEEK"}""", "events[0].occur_precision")]
    [InlineData("""{"removed": {"reason": "BORED"}}""", "events[0].removed.reason")]
    [InlineData("""{"runHoursRead": {"readings": [{"hours": 1e999}]}}""", "events[0].run_hours_read.readings[0].hours")]
    [InlineData("""{"repainted": {}}""", "events[0].repainted")]
    public async Task Json_that_cannot_be_read_refuses_the_call_with_the_path(string posted, string field)
    {
        using var content = new StringContent($$"""{"events": [{{posted}}]}""", Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri("/v1/events:record", UriKind.Relative), content, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.Equal([field], StatusDetails.Fields(await StatusDetails.OfAsync(response)));
    }

    private static Replaced Replaced(Action<ModuleEvent> spoil)
    {
        var right = new ModuleEvent { OccurTime = Day, RunHoursRead = new() { Readings = { new MeterReading { Hours = 3 } } } };
        spoil(right);
        return new() { TargetSource = "s", TargetEventId = "e", Event = right };
    }

    private static RecordEventsRequest Request(string source, IEnumerable<(string, Action<ModuleEvent> Spoil, string)> cases)
    {
        var request = new RecordEventsRequest();
        request.Events.Add(Right($"refusals-{source}", 0));
        foreach (var wrong in cases)
        {
            var posted = Right($"refusals-{source}", request.Events.Count);
            wrong.Spoil(posted);
            request.Events.Add(posted);
        }

        request.Events.Add(Right($"refusals-{source}", request.Events.Count));
        return request;
    }

    private static void Check(
        (string Name, Action<ModuleEvent>, string Field)[] cases, RecordEventsRequest request, RecordEventsResponse response)
    {
        Assert.Equal(cases.Length + 2, response.Results.Count);
        Assert.Equal(RecordEventResult.OutcomeOneofCase.Receipt, response.Results[0].OutcomeCase);
        Assert.Equal(RecordEventResult.OutcomeOneofCase.Receipt, response.Results[^1].OutcomeCase);
        for (var i = 0; i < cases.Length; i++)
        {
            var result = response.Results[i + 1];
            Assert.Equal(request.Events[i + 1].EventId, result.EventId);
            Assert.True(result.OutcomeCase == RecordEventResult.OutcomeOneofCase.Error, $"{cases[i].Name} was recorded.");
            Assert.Equal((int)StatusCode.InvalidArgument, result.Error.Code);
            Assert.Equal("INVALID_FIELDS", StatusDetails.Reason(result.Error));
            Assert.Equal([Path(i + 1, cases[i].Field)], StatusDetails.Fields(result.Error));
        }
    }

    private static string Path(int index, string field) => $"events[{index}]" + (field.Length == 0 ? "" : "." + field);

    private static ModuleEvent Right(string source, int i) => new()
    {
        EventId = $"e{i}",
        Source = source,
        Module = "serial:REFUSAL-1",
        OccurTime = Day,
        RunHoursRead = new() { Readings = { new MeterReading { Hours = 10 } } },
    };

    private static LifeReported Row(Action<LifeReported> spoil)
    {
        var row = new LifeReported
        {
            ModuleModel = "moduleModels/phototherapy-lamp",
            Identifiers = { new Identifier { Kind = IdentifierKind.AssetNumber, Value = "R-1" } },
            StartTime = Timestamp.FromDateTimeOffset(new(2023, 1, 1, 0, 0, 0, TimeSpan.Zero)),
            EndTime = Timestamp.FromDateTimeOffset(new(2023, 9, 1, 0, 0, 0, TimeSpan.Zero)),
            AgeAtEnd = 900,
            Outcome = LifeOutcome.Survived,
        };
        spoil(row);
        return row;
    }
}
