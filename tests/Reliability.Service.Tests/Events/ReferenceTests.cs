using Google.Protobuf.WellKnownTypes;
using NodaTime;
using Reliability.History.Events;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Filters;
using Reliability.V1;
using Xunit;

namespace Reliability.Service.Tests.Events;

/// <summary>How events name their module, its identifiers, or the host device whose meter they tell of.</summary>
public sealed class ReferenceTests
{
    private const string Canonical = "(01)51022222233336(11)141231(21)1234", Gs = "\u001d";

    private static readonly EventTimes Times = new(DateTimeZone.Utc);
    private static readonly EventMapping Mapping = new(Times, "test");

    [Theory]
    [InlineData(Canonical)]
    [InlineData("]d2" + "0151022222233336" + "11141231" + "211234")]
    [InlineData("0151022222233336" + "211234" + Gs + "11141231")]
    public void A_module_posted_by_UDI_has_one_id_in_every_spelling(string udi)
    {
        var posted = Reading("udi:" + udi);

        Assert.Null(Problems(posted));
        Assert.Equal(
            EventIdentity.ModuleId("test", History.Events.IdentifierKind.Udi, Canonical), Mapping.ToHistory(posted).ModuleId);
    }

    [Theory]
    [InlineData("udi:(01)51022222233337(21)1", "module", "begins as a GS1 element string and is none, at character 18: (01) must end in its check digit, 6; got 7")]
    [InlineData("udi:(01)51022222233336(10)A213B1", "module", "must have a serial number (21) to name one module: without it, it stands for a type or a lot")]
    [InlineData("serial:A" + Gs, "module", "must be modules/{module}, an identifier as")]
    [InlineData("host: ", "module", "must be modules/{module}, an identifier as")]
    public void A_reference_that_names_no_module_is_refused(string reference, string field, string rule) =>
        AssertProblem(Reading(reference), "events[0]." + field, rule);

    [Fact]
    public void An_identifier_that_begins_as_one_of_GS1_and_is_none_is_refused_by_its_path()
    {
        var posted = Reading("modules/a");
        posted.Registered = new() { ModuleModel = "moduleModels/m" };
        posted.Registered.Identifiers.Add(new Identifier { Kind = V1.IdentifierKind.SerialNumber, Value = "(01)1" });
        posted.Registered.Identifiers.Add(new Identifier { Kind = V1.IdentifierKind.Udi, Value = "(01)1" });

        AssertProblem(posted, "events[0].registered.identifiers[1].value", "begins as a GS1 element string");

        // Of another agency, and of GS1 without a serial number or as scanned: taken as it comes.
        posted.Registered.Identifiers[1].Value = "+H123PARTNO1234567890120";
        Assert.Null(Problems(posted));
        posted.Registered.Identifiers[1].Value = "0151022222233336" + "10A213B1" + Gs + "11141231";
        Assert.Null(Problems(posted));
        Assert.Equal(posted.Registered.Identifiers[1].Value, EventWire.ToWire(Mapping.ToHistory(posted)).Registered.Identifiers[1].Value);
    }

    [Fact]
    public void The_UDI_it_was_posted_by_is_not_added_again_in_another_spelling()
    {
        var posted = Reading("udi:" + Canonical);
        posted.Registered = new() { ModuleModel = "moduleModels/m" };
        posted.Registered.Identifiers.Add(
            new Identifier { Kind = V1.IdentifierKind.Udi, Value = "(21)1234(11)141231(01)51022222233336" });

        Assert.Single(Assert.IsType<RegisteredV1>(Mapping.ToHistory(posted).Body).Identifiers);
    }

    [Theory]
    [InlineData("udi = \"(01)1\"", false)]
    [InlineData("udi = \"" + Canonical + "\"", true)]
    [InlineData("udi = \"+H123\"", true)]
    public void A_filter_by_UDI_is_held_to_the_same_rule(string text, bool right)
    {
        var violations = new Violations();
        ModuleFilters.Read(text, violations);

        Assert.Equal(right, violations.IsEmpty);
    }

    [Fact]
    public void A_host_device_has_a_record_of_its_own_and_its_meter_is_the_hosts()
    {
        var posted = Reading("host: Ward 3/vent-7 ");
        var recorded = Mapping.ToHistory(posted);

        Assert.Null(Problems(posted));
        Assert.Equal(("host/Ward 3/vent-7", "Ward 3/vent-7"), (recorded.ModuleId, HostRecord.HostDevice(recorded.ModuleId)));
        Assert.Equal(MeterOwner.Host, Assert.IsType<RunHoursReadV1>(recorded.Body).Meter);
        Assert.Equal("host:Ward 3/vent-7", EventWire.ToWire(recorded).Module);

        posted.MeterChanged = new() { FinalHours = 7, FirstHours = 0 };
        Assert.Null(Problems(posted));
        Assert.Equal(MeterOwner.Host, Assert.IsType<MeterChangedV1>(Mapping.ToHistory(posted).Body).Meter);
        posted.Retracted = new() { TargetSource = "s", TargetEventId = "e" };
        Assert.Null(Problems(posted));
    }

    [Fact]
    public void Of_a_host_device_only_its_meter_is_recorded()
    {
        var posted = Reading("host:vent-7");
        posted.RunHoursRead.Meter = Meter.Module;
        AssertProblem(posted, "events[0].run_hours_read.meter", "must be METER_HOST or absent");
        posted.Installed = new() { HostDevice = "vent-7" };
        AssertProblem(posted, "events[0].module", "must be a module, not a host device");
        posted.Replaced = new() { TargetSource = "s", TargetEventId = "e", Event = new() { OccurTime = posted.OccurTime, Failed = new() } };
        AssertProblem(posted, "events[0].module", "must be a module, not a host device");
        posted.Replaced.Event.MeterChanged = new() { FinalHours = 7, FirstHours = 0, Meter = Meter.Module };
        AssertProblem(posted, "events[0].replaced.event.meter_changed.meter", "must be METER_HOST or absent");
        posted.Failed = new();
        AssertProblem(posted, "events[0].module", "must be a module, not a host device");
    }

    private static ModuleEvent Reading(string module)
    {
        var posted = new ModuleEvent
        {
            EventId = "e",
            Source = "s",
            Module = module,
            OccurTime = Timestamp.FromDateTimeOffset(new(2024, 5, 1, 12, 0, 0, TimeSpan.Zero)),
            RunHoursRead = new(),
        };
        posted.RunHoursRead.Readings.Add(new V1.MeterReading { Hours = 7 });
        return posted;
    }

    private static Violations? Problems(ModuleEvent posted) => new EventCheck(Times, 0).Check(posted);

    private static void AssertProblem(ModuleEvent posted, string field, string rule) =>
        Assert.StartsWith($"{field}: {rule}", Problems(posted)!.ToStatus().Message, StringComparison.Ordinal);
}
