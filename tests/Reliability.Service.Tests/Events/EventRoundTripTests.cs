using Google.Protobuf.WellKnownTypes;
using NodaTime;
using Reliability.History.Events;
using Reliability.Service.Events;
using Reliability.V1;
using Xunit;

namespace Reliability.Service.Tests.Events;

/// <summary>Every kind of event goes into the record and comes back as it was posted.</summary>
public sealed class EventRoundTripTests
{
    private static readonly EventTimes Times = new(DateTimeZone.Utc);
    private static readonly EventMapping Mapping = new(Times, "test");
    private static readonly Timestamp Noon = At(2024, 5, 1, 12);

    public static TheoryData<string> Kinds() => [.. Events().Select(posted => posted.EventCase.ToString())];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void It_comes_back_as_posted(string kind)
    {
        var posted = Events().Single(one => one.EventCase.ToString() == kind);
        var violations = new EventCheck(Times, index: 0).Check(posted);
        Assert.True(violations is null, violations?.ToStatus().Message);

        var wire = EventWire.ToWire(Mapping.ToHistory(posted));

        Assert.Equal(posted, wire);
    }

    [Fact]
    public void Every_kind_of_the_protos_is_there() => Assert.Equal(
        ModuleEvent.Descriptor.Oneofs.Single(oneof => oneof.Name == "event").Fields.Count, Events().Count);

    [Fact]
    public void A_module_known_by_an_identifier_always_has_the_same_id()
    {
        var bySerial = Installed(e => e.Module = "serial: A-17 ");
        var again = Installed(e => (e.Module, e.EventId) = ("serial:A-17", "other"));
        var byAsset = Installed(e => e.Module = "asset:A-17");

        Assert.Equal(Mapping.ToHistory(bySerial).ModuleId, Mapping.ToHistory(again).ModuleId);
        Assert.NotEqual(Mapping.ToHistory(bySerial).ModuleId, Mapping.ToHistory(byAsset).ModuleId);
        Assert.True(ResourceNames.IsModule("modules/" + Mapping.ToHistory(bySerial).ModuleId));
    }

    [Fact]
    public void The_identifier_it_was_posted_by_is_one_of_its_identifiers()
    {
        var posted = Events().Single(one => one.EventCase == ModuleEvent.EventOneofCase.Registered);
        posted.Module = "asset:Q-9";

        var body = Assert.IsType<RegisteredV1>(Mapping.ToHistory(posted).Body);

        Assert.Equal([("Serial", "SN-1"), ("Asset", "Q-9")], body.Identifiers.Select(i => (i.Kind.ToString(), i.Value)));
    }

    [Fact]
    public void A_row_names_its_module_by_serial_number_before_asset_number()
    {
        var row = Events().Single(one => one.EventCase == ModuleEvent.EventOneofCase.LifeReported);
        row.Module = string.Empty;
        row.LifeReported.Identifiers.Clear();
        row.LifeReported.Identifiers.Add(new Identifier { Kind = V1.IdentifierKind.AssetNumber, Value = "A" });
        row.LifeReported.Identifiers.Add(new Identifier { Kind = V1.IdentifierKind.SerialNumber, Value = "S" });

        Assert.Equal(
            EventIdentity.ModuleId("test", History.Events.IdentifierKind.Serial, "S"), Mapping.ToHistory(row).ModuleId);
    }

    /// <summary>The IANA database: Lisbon put its clocks forward on 2024-03-31 and back on 2024-10-27; Apia had no
    /// 2011-12-30.</summary>
    [Theory]
    [InlineData("Europe/Lisbon", 2024, 3, 31, 12, 23)]
    [InlineData("Europe/Lisbon", 2024, 10, 27, 12, 25)]
    [InlineData("Europe/Lisbon", 2024, 7, 1, 23, 24)]
    [InlineData("Pacific/Apia", 2011, 12, 31, 12, 24)]
    [InlineData("America/Sao_Paulo", 2018, 11, 4, 12, 23)]
    public void A_day_has_the_hours_of_its_zone(string zone, int year, int month, int day, int hour, int hours)
    {
        var window = EventTimes.Window(At(year, month, day, hour), Times.Zone(zone));

        Assert.Equal(TimeSpan.FromHours(hours), window.Latest - window.Earliest);
        Assert.True(window.Earliest <= At(year, month, day, hour).ToDateTimeOffset());
        Assert.True(window.Latest > At(year, month, day, hour).ToDateTimeOffset());
        Assert.Equal((TimePrecision.Day, zone), (window.Precision, window.Zone));
    }

    private static ModuleEvent Installed(Action<ModuleEvent> change)
    {
        var posted = Events().Single(one => one.EventCase == ModuleEvent.EventOneofCase.Installed);
        change(posted);
        return posted;
    }

    private static List<ModuleEvent> Events() =>
    [
        Event(e => e.Registered = new()
        {
            ModuleModel = "moduleModels/lamp", Identifiers = { new Identifier { Kind = V1.IdentifierKind.SerialNumber, Value = "SN-1" } },
            Lot = "L1", Condition = new() { RefurbishmentCount = 2, Refurbisher = "Vennick Works" }, AgeHours = 0, ReadingHours = 12.5,
            CompleteFrom = At(2020, 1, 1, 0),
        }),
        Event(e => e.Installed = new()
        {
            HostDevice = "h1", Position = "left", Site = "Velsham Children's", HostModel = "cot", ReadingHours = 3, Meter = Meter.Host,
            MeterStopsAtFailure = true, ExpectedHoursPerDay = 0,
        }),
        Event(e => e.RunHoursRead = new()
        {
            Meter = Meter.Module,
            Readings = { new V1.MeterReading { ReadTime = At(2024, 4, 1, 8), Hours = 0 }, new V1.MeterReading { ReadTime = Noon, Hours = 7.25 } },
        }),
        Event(e => e.MeterChanged = new() { Meter = Meter.Host, FinalHours = 1500, FirstHours = 0 }),
        Event(e => e.OutputMeasured = new() { MeasuredValue = 21.5, ReadingHours = 1 }),
        Event(e => e.Failed = new() { FailureMode = "no light", ReadingHours = 9, Moment = FailureMoment.Failure }),
        Event(e => e.Removed = new() { Reason = V1.RemovalReason.RecallOrSafetyNotice, ReadingHours = 9, ConfirmedCautions = { "COOL_DOWN" } }),
        Event(e => e.Repaired = new() { Repairer = "Bench 2", Renewal = WearingPartRenewal.NotRenewed, ReadingBeforeHours = 9, ReadingAfterHours = 9, AcceptanceOutputFraction = 0.98 }),
        Event(e => e.Refurbished = new() { Refurbisher = "Second Turn Bench", Renewal = WearingPartRenewal.Renewed, ReadingBeforeHours = 9, ReadingAfterHours = 0 }),
        Event(e => e.Retired = new() { Reason = "cracked", DisposalRoute = DisposalRoute.HazardousWaste }),
        Event(e => e.Retracted = new() { TargetSource = "s", TargetEventId = "e9" }),
        Event(e => e.LifeReported = new()
        {
            ModuleModel = "moduleModels/lamp", Identifiers = { new Identifier { Kind = V1.IdentifierKind.AssetNumber, Value = "A-1" } },
            Condition = new() { RefurbishmentCount = 1, Refurbisher = "Vennick Works" }, Site = "Orrowby Infirmary", HostModel = "cot", Lot = "L2",
            StartTime = At(2023, 1, 1, 0), EndTime = At(2024, 1, 1, 0), AgeAtObservation = 0, AgeAtEnd = 1999, AgeLastWorking = 1900,
            Outcome = V1.LifeOutcome.Failed, RemovalReason = V1.RemovalReason.Failed, FailureMode = "dim", CompleteFrom = At(2022, 1, 1, 0),
        }),
        Event(e => e.Replaced = new()
        {
            TargetSource = "s", TargetEventId = "e9",
            Event = new()
            {
                OccurTime = At(2024, 4, 28, 0), OccurPrecision = OccurPrecision.Day, Zone = "UTC",
                Failed = new() { FailureMode = "no light", ReadingHours = 9, Moment = FailureMoment.Discovery },
            },
        }),
    ];

    private static ModuleEvent Event(Action<ModuleEvent> what)
    {
        var posted = new ModuleEvent
        {
            EventId = "e1",
            Source = "s",
            Module = "modules/m-1",
            OccurTime = Noon,
            OccurPrecision = OccurPrecision.Instant,
            Note = "seen\nby night shift",
            ActorId = "a-1",
        };
        what(posted);
        return posted;
    }

    private static Timestamp At(int year, int month, int day, int hour) =>
        Timestamp.FromDateTimeOffset(new DateTimeOffset(year, month, day, hour, 0, 0, TimeSpan.Zero));
}
