using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization;
using Reliability.History.Events;
using Xunit;

namespace Reliability.History.Tests.Bytes;

/// <summary>
/// Events stored in version 1 are read for ever. The files are what a store of that version holds; they are never changed, only
/// added to.
/// </summary>
public sealed class VersionOneTests
{
    private static readonly string Folder = Path.Combine(AppContext.BaseDirectory, "Bytes", "v1");

    private static readonly Occurrence Instant = Occurrence.AtInstant(new(2024, 3, 1, 8, 30, 0, TimeSpan.Zero));

    private static readonly Occurrence Day = Occurrence.OnDay(
        new(2024, 2, 29, 23, 0, 0, TimeSpan.Zero), new(2024, 3, 1, 23, 0, 0, TimeSpan.Zero), "Europe/Berlin");

    private static readonly Dictionary<string, EventBody> Bodies = new()
    {
        ["registered-v1"] = new RegisteredV1
        {
            Model = "ventilator-blower",
            Identifiers =
            [
                new() { Kind = IdentifierKind.Serial, Value = "VB-0017" },
                new() { Kind = IdentifierKind.Asset, Value = "QG-2231" },
            ],
            Lot = "L24",
            Condition = new() { RefurbishmentCount = 1, Refurbisher = "Vennick Works" },
            AgeHours = 300,
            TotalHours = 9300.5,
            ReadingHours = 12.25,
            CompleteFrom = new DateTimeOffset(2020, 1, 1, 0, 0, 0, TimeSpan.Zero),
        },
        ["installed-v1"] = new InstalledV1
        {
            HostDevice = "vent-3",
            Position = "A",
            Site = "Quennick General",
            HostModel = "Breva 2",
            ReadingHours = 1200,
            Meter = MeterOwner.Host,
            MeterStopsAtFailure = false,
            ExpectedHoursPerDay = 11.5,
        },
        ["run-hours-read-v1"] = new RunHoursReadV1
        {
            Meter = MeterOwner.Module,
            Readings =
            [
                MeterReading.AtInstant(Instant.Earliest, 1300),
                new()
                {
                    Earliest = new(2024, 3, 2, 0, 0, 0, TimeSpan.Zero),
                    Latest = new(2024, 3, 3, 0, 0, 0, TimeSpan.Zero),
                    Hours = 1310.75,
                },
            ],
        },
        ["meter-changed-v1"] = new MeterChangedV1 { Meter = MeterOwner.Host, FinalHours = 1500, FirstHours = 0 },
        ["output-measured-v1"] = new OutputMeasuredV1 { Fraction = 0.82, ReadingHours = 1400 },
        ["failed-v1"] = new FailedV1 { Mode = "no flow", ReadingHours = 180, ReadingIs = FailureReading.Moment },
        ["removed-v1"] = new RemovedV1
        {
            Reason = RemovalReason.RecallOrSafetyNotice,
            ReadingHours = 181,
            ConfirmedCautions = ["ISOLATE", "COOL_DOWN"],
        },
        ["repaired-v1"] = new RepairedV1
        {
            By = "Orrowby workshop",
            RenewsWearingPart = RenewalStatement.No,
            ReadingBeforeHours = 181,
            ReadingAfterHours = 0,
            AcceptanceOutputFraction = 0.97,
        },
        ["refurbished-v1"] = new RefurbishedV1
        {
            By = "Second Turn Bench",
            RenewsWearingPart = RenewalStatement.Yes,
            ReadingBeforeHours = 181,
            ReadingAfterHours = 0,
            AcceptanceOutputValue = 31.5,
        },
        ["retired-v1"] = new RetiredV1 { Reason = "obsolete", DisposalRoute = "recycled" },
        ["retracted-v1"] = new RetractedV1 { TargetSource = "quennick-maintenance", TargetEventId = "WO-1042" },
        ["replaced-v1"] = new ReplacedV1
        {
            TargetSource = "quennick-maintenance",
            TargetEventId = "WO-1042",
            Occurrence = Day,
            Body = new FailedV1 { Mode = "no flow", ReadingHours = 180, ReadingIs = FailureReading.Moment },
        },
        ["life-reported-v1"] = new LifeReportedV1
        {
            Model = "phototherapy-lamp",
            Identifiers = [new() { Kind = IdentifierKind.Udi, Value = "(01)09506000134352" }],
            Condition = Condition.New,
            Site = "Velsham Children's",
            HostModel = "Lumina N",
            Lot = "P7",
            Start = Day,
            End = Instant,
            AgeAtObservationHours = 10,
            AgeAtEndHours = 1820,
            AgeLastWorkingHours = 1790,
            Outcome = ReportedOutcome.Failed,
            Reason = RemovalReason.LowOutput,
            FailureMode = "output",
            CompleteFrom = new DateTimeOffset(2021, 1, 1, 0, 0, 0, TimeSpan.Zero),
        },
    };

    public static TheoryData<string> Kinds => [.. Bodies.Keys];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Stored_bytes_are_read_as_they_were_meant(string kind)
    {
        var read = JsonSerializer.Deserialize(Stored(kind), HistoryJsonContext.Default.RecordedEvent)!;

        Assert.Equal(new Guid("0f8fad5b-d9cb-569f-a165-70867728950e"), read.EventId);
        Assert.Equal(("WO-1042", "quennick-maintenance", "blower-17"), (read.OriginalId, read.Source, read.ModuleId));
        Assert.Equal(kind is "removed-v1" or "failed-v1" ? Day : Instant, read.Occurrence);
        Assert.Equal(new DateTimeOffset(2024, 3, 5, 10, 0, 0, TimeSpan.Zero).AddTicks(1_234_567), read.RecordTime);
        Assert.Equal(("seen on the night round", "tech-7"), (read.Note, read.ActorId));
        Assert.Equivalent(Bodies[kind], read.Body, strict: true);
        Assert.IsType(Bodies[kind].GetType(), read.Body);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void An_event_is_still_written_in_the_same_bytes(string kind)
    {
        var read = JsonSerializer.Deserialize(Stored(kind), HistoryJsonContext.Default.RecordedEvent)!;
        var written = JsonSerializer.SerializeToNode(read, HistoryJsonContext.Default.RecordedEvent);

        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(Stored(kind)), written), written!.ToJsonString());
    }

    [Fact]
    public void Members_may_stand_in_any_order()
    {
        var stored = JsonNode.Parse(Stored("failed-v1"))!.AsObject();
        var body = stored["body"]!.AsObject();
        stored["body"] = new JsonObject(body.Reverse().Select(m => KeyValuePair.Create(m.Key, m.Value?.DeepClone())));

        var read = JsonSerializer.Deserialize(stored, HistoryJsonContext.Default.RecordedEvent)!;
        Assert.Equal(Bodies["failed-v1"], read.Body);
    }

    [Fact]
    public void Every_kind_of_event_has_its_bytes()
    {
        var kinds = typeof(EventBody).GetCustomAttributes(typeof(JsonDerivedTypeAttribute), false)
            .Cast<JsonDerivedTypeAttribute>().Select(a => (string)a.TypeDiscriminator!).Where(kind => kind.EndsWith("-v1"));

        Assert.Equal(kinds.Order(), Directory.GetFiles(Folder).Select(f => Path.GetFileNameWithoutExtension(f)).Order());
    }

    private static string Stored(string kind) => File.ReadAllText(Path.Combine(Folder, kind + ".json"));
}
