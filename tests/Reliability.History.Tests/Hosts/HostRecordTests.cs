using System.Text.Json;
using CsCheck;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Hosts;

/// <summary>Meters of host devices that are read once for every module fitted there.</summary>
public sealed class HostRecordTests
{
    private static readonly MeterOwner? Host = MeterOwner.Host;

    // The worked example of the domain description, its readings of meters posted for the hosts.
    private static readonly Scenario.History Module = new Scenario.History()
        .Registered(1, age: 300)
        .OnHost(2, 1_200)
        .Failed(50, 180)
        .Removed(51, 181, RemovalReason.Failed)
        .Refurbished(60)
        .OnHost(70, 5_000, "vent-9");

    private static readonly RecordedEvent[] Vent3 =
    [
        Read("vent-3", 11, 1_300), Read("vent-3", 12, 14_000), Read("vent-3", 26, 1_450),
        Event("vent-3", 30, new MeterChangedV1 { Meter = Host, FinalHours = 1_500, FirstHours = 0 }),
        Read("vent-3", 45, 150),
    ];

    private static readonly RecordedEvent[] Vent9 = [Read("vent-9", 100, 5_400)];

    [Fact]
    public void The_worked_example_gives_the_same_two_lives()
    {
        var derived = Derive([.. Module.Events, .. Vent3, .. Vent9]);

        Assert.Equal(
            [(0, 300.0, LifeOutcome.Between(750, 780)), (1, 0.0, LifeOutcome.Survived(400))],
            derived.Lives.Select(life => (life.Condition.RefurbishmentCount, life.EntryHours, life.Outcome!.Value)));
        Assert.All(derived.Lives, life => Assert.True(life.Counts(includeFlagged: false)));
        Assert.Equal(EventStanding.LeftOut, derived.Events.Single(s => s.EventId == Vent3[1].EventId).Standing);
        Assert.Equal(Scenario.History.Day(100), derived.LastReadingTime);
    }

    [Fact]
    public void In_whatever_order_they_arrive() =>
        Gen.Shuffle(Module.Events.Concat(Vent3).Concat(Vent9).ToArray()).Sample(events =>
            Assert.Equal(
                Text(Derive([.. Module.Events, .. Vent3, .. Vent9])), Text(Derive(events))));

    // What the hosts' meters showed before, between and after its spells, and on hosts it was never in, is not the module's.
    [Fact]
    public void Readings_outside_its_spells_are_not_its()
    {
        RecordedEvent[] others =
        [
            Read("vent-3", 1, 1_190), Read("vent-3", 55, 260), Read("vent-3", 90, 990), Read("vent-9", 69, 4_990),
            Event("vent-9", 60, new MeterChangedV1 { Meter = Host, FinalHours = 9, FirstHours = 4_000 }), Read("vent-77", 80, 3),
        ];

        Assert.Equal(
            Text(Derive([.. Module.Events, .. Vent3, .. Vent9])),
            Text(Derive([.. Module.Events, .. Vent3, .. Vent9, .. others])));
    }

    [Fact]
    public void Readings_posted_for_the_host_and_for_the_module_count_once_and_contradict_nothing()
    {
        var moduleWise = new Scenario.History();
        foreach (var read in Vent3.Concat(Vent9))
            moduleWise.At((read.Occurrence.Earliest - Scenario.History.Origin).TotalDays, read.Body, "module-wise-" + read.OriginalId);

        var derived = Derive([.. Module.Events, .. Vent3, .. Vent9, .. moduleWise.Events]);

        Assert.Equal(
            Derive([.. Module.Events, .. Vent3, .. Vent9]).Lives.Select(life => life.Outcome),
            derived.Lives.Select(life => life.Outcome));
        Assert.Equal([RecordOddity.ReadingLeftOut], derived.Events.SelectMany(status => status.Flags).Distinct());
        Assert.Single(derived.Events, status => status.Flags.Count > 0);
        Assert.Equal(6, derived.Events.Count(status => status.Standing == EventStanding.Duplicate));
    }

    // A mistyped reading does not become a suspected reset, nor the greater number, by being posted three times.
    [Fact]
    public void A_reading_is_that_of_its_meter_time_and_source_however_often_it_is_posted()
    {
        var history = new Scenario.History().Registered().OnHost(1, 0, "vent-3").Read(10, 100).Read(30, 300);
        for (var copy = 0; copy < 3; copy++)
            history.At(20, new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Scenario.History.Day(20), 9_000)] }, $"copy-{copy}");

        var derived = Derive([.. history.Events, Read("vent-3", 20, 9_000)]);

        Assert.Equal(LifeOutcome.Survived(300), Assert.Single(derived.Lives).Outcome);
        Assert.DoesNotContain(derived.Events, status => status.Flags.Contains(RecordOddity.SuspectedReset));
        Assert.Equal(3, derived.Events.Count(status => status.Standing == EventStanding.Duplicate));
    }

    [Fact]
    public void Two_modules_swapped_in_one_host_share_its_readings()
    {
        var first = new Scenario.History().Registered().OnHost(1, 100).Removed(20, 400);
        var second = new Scenario.History().Registered().OnHost(20, 400);
        RecordedEvent[] host = [Read("vent-3", 10, 250), Read("vent-3", 20, 400), Read("vent-3", 40, 700)];

        Assert.Equal(LifeOutcome.Survived(300), Assert.Single(Derive([.. first.Events, .. host]).Lives).Outcome);
        Assert.Equal(LifeOutcome.Survived(300), Assert.Single(Derive([.. second.Events, .. host]).Lives).Outcome);
        Assert.Equal(4, Derive([.. first.Events, .. host]).Events.Count);
        Assert.Equal(4, Derive([.. second.Events, .. host]).Events.Count);
    }

    [Fact]
    public void A_module_on_its_own_meter_has_nothing_of_the_hosts()
    {
        var history = new Scenario.History().Registered().OnOwnMeter(1, 0).Read(20, 200);

        Assert.Empty(HostRecord.KeysNamed(history.Events));
        Assert.Equal(LifeOutcome.Survived(200), Assert.Single(Derive([.. history.Events, Read("vent-3", 30, 900)]).Lives).Outcome);
    }

    [Fact]
    public void What_is_wrong_is_taken_back_in_the_hosts_record_and_shown_in_the_modules()
    {
        var history = new Scenario.History().Registered().OnHost(1, 0).Retract(50, "host-30", "in the module's record");
        var wrong = Read("vent-3", 30, 500);
        var taken = Event("vent-3", 99, new RetractedV1 { TargetSource = wrong.Source, TargetEventId = wrong.OriginalId });

        var before = Derive([.. history.Events, Read("vent-3", 20, 300), wrong]);
        var after = Derive([.. history.Events, Read("vent-3", 20, 300), wrong, taken]);

        Assert.Equal(LifeOutcome.Survived(500), Assert.Single(before.Lives).Outcome);
        Assert.Equal(UnresolvedReason.TargetMissing, history.Status(before, "in the module's record").UnresolvedReason);
        Assert.Equal(LifeOutcome.Survived(300), Assert.Single(after.Lives).Outcome);
        Assert.Equal(EventStanding.Retracted, after.Events.Single(status => status.EventId == wrong.EventId).Standing);
        Assert.Contains(after.Events, status => status.EventId == taken.EventId);
    }

    [Fact]
    public void What_is_wrong_is_replaced_in_the_hosts_record()
    {
        var history = new Scenario.History().Registered().OnHost(1, 0);
        var wrong = Read("vent-3", 30, 5_000);
        var right = Event("vent-3", 98, new ReplacedV1
        {
            TargetSource = wrong.Source,
            TargetEventId = wrong.OriginalId,
            Occurrence = wrong.Occurrence,
            Body = new RunHoursReadV1 { Meter = Host, Readings = [MeterReading.AtInstant(Scenario.History.Day(30), 500)] },
        });

        var derived = Derive([.. history.Events, Read("vent-3", 20, 300), wrong, right]);

        Assert.Equal(LifeOutcome.Survived(500), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Replaced, derived.Events.Single(status => status.EventId == wrong.EventId).Standing);
        Assert.Empty(derived.Events.SelectMany(status => status.Flags));
    }

    [Fact]
    public void A_host_read_while_its_module_is_not_registered_waits_unseen()
    {
        var derived = Derive([.. new Scenario.History().OnHost(1, 0).Events, Read("vent-3", 20, 300)]);

        Assert.Equal(UnresolvedReason.ModuleNotRegistered, Assert.Single(derived.Events).UnresolvedReason);
    }

    [Fact]
    public void Keys_are_made_of_the_hosts_ids_and_no_modules_id_is_one()
    {
        Assert.Equal("host/Ward 3/vent 7", HostRecord.Key(" Ward 3/vent 7 "));
        Assert.Equal("Ward 3/vent 7", HostRecord.HostDevice("host/Ward 3/vent 7"));
        Assert.Null(HostRecord.HostDevice("host-7"));
        Assert.Equal(["host/vent-3", "host/vent-9"], HostRecord.KeysNamed(Module.Events));
    }

    private static string Text(DerivedModule derived) => JsonSerializer.Serialize(derived);

    private static DerivedModule Derive(IReadOnlyList<RecordedEvent> events) =>
        LifeDerivation.Derive(new(Scenario.History.Module, events), Scenario.History.Catalogue);

    private static RecordedEvent Read(string host, double day, double hours) => Event(
        host, day, new RunHoursReadV1 { Meter = Host, Readings = [MeterReading.AtInstant(Scenario.History.Day(day), hours)] });

    private static RecordedEvent Event(string host, double day, EventBody body) => new()
    {
        EventId = EventIdentity.EventId("brindlemoor", Scenario.History.Source, $"{host}-{day}"),
        OriginalId = $"host-{day}",
        Source = Scenario.History.Source,
        ModuleId = HostRecord.Key(host),
        Occurrence = Occurrence.AtInstant(Scenario.History.Day(day)),
        Body = body,
    };
}
