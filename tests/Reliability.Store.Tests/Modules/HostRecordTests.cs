using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Modules;

/// <summary>Meters of host devices, posted once for every module fitted there.</summary>
public sealed class HostRecordTests(SharedServer server) : StoreTest(server)
{
    private const string Host = "Ward 3/vent 7";

    [Fact]
    public async Task Modules_swapped_in_a_host_share_its_readings_whatever_comes_first()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        var early = await RecordAsync(Read(10, 250), Read(40, 700), Read(99, 1_500));
        Assert.All(early, outcome => Assert.Null(Assert.IsType<RecordOutcome.Receipt>(outcome).UnresolvedReason));
        await RecordAndWaitAsync(
            Scenario.Registered("m-1"), Installed("m-1", 1, 100), Removed("m-1", 30, 550),
            Scenario.Registered("m-2"), Installed("m-2", 30, 550), Removed("m-2", 60, 1_000));

        Assert.Equal([LifeOutcome.Survived(450), LifeOutcome.Survived(450)], await OutcomesAsync());

        // A late reading, posted for the host, makes the lives of its modules anew: m-2 is back in it.
        await RecordAndWaitAsync(Installed("m-2", 90, 1_400));
        await RecordAndWaitAsync(
            Scenario.Event(HostRecord.Key(Host), "changed", 100, new MeterChangedV1 { Meter = MeterOwner.Host, FinalHours = 1_510, FirstHours = 0 }),
            Read(110, 90));
        Assert.Equal([LifeOutcome.Survived(450), LifeOutcome.Survived(450 + 110 + 90)], await OutcomesAsync());

        var rows = await DerivedRowsAsync();
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(rows, await DerivedRowsAsync());
        Assert.Equal(0, await ScalarAsync<long>("select count(*) from module_state where module like 'host/%'"));
        Assert.Equal(2, await ScalarAsync<long>("select count(*) from module_host"));
    }

    [Fact]
    public async Task The_record_of_a_module_shows_what_its_hosts_showed_while_it_was_there()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync(
            Scenario.Registered("m-1"), Installed("m-1", 1, 100), Removed("m-1", 30, 550), Read(0.5, 90), Read(10, 250), Read(40, 700));
        var seen = await Organisation.Modules.GetAsync("m-1", null, Cancellation);

        var record = (await Organisation.Modules.ListEventsAsync("m-1", null, 10, null, Cancellation))!.Items;
        Assert.Equal(["m-1", "m-1", HostRecord.Key(Host), "m-1"], record.Select(item => item.Event.ModuleId));
        Assert.Equal(250, Assert.Single(record.Select(item => item.Event.Body).OfType<RunHoursReadV1>()).Readings[0].Hours);
        Assert.Null(await Organisation.Modules.GetAsync(HostRecord.Key(Host), null, Cancellation));

        // A reading after its time there is not its: nothing of it changes, its revision neither.
        await RecordAndWaitAsync(Read(50, 900));
        Assert.Equal(seen!.Revision, (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Revision);
        var wrong = await RecordAsync(Scenario.Event(
            HostRecord.Key(Host), "taken-back", 60,
            new RetractedV1 { TargetSource = Scenario.Source, TargetEventId = Read(10, 250).OriginalId }));
        Assert.Null(Assert.IsType<RecordOutcome.Receipt>(Assert.Single(wrong)).UnresolvedReason);
        var after = (await Organisation.Modules.ListEventsAsync("m-1", null, 10, null, Cancellation))!.Items;
        Assert.Equal(5, after.Count);
        Assert.Equal(EventStanding.Retracted, after.Single(item => item.Event.OriginalId == Read(10, 250).OriginalId).Status.Standing);
    }

    private async Task<IReadOnlyList<LifeOutcome>> OutcomesAsync() =>
        [.. (await Organisation.Lives.ReadAsync(new(), null, Cancellation).ToListAsync(Cancellation)).Select(stored => stored.Life.Outcome!.Value)];

    private static RecordedEvent Installed(string module, double day, double hours) => Scenario.Event(
        module, $"{module}-installed-{day}", day,
        new InstalledV1 { HostDevice = Host, Meter = MeterOwner.Host, ReadingHours = hours, Site = "Quennick General" });

    private static RecordedEvent Removed(string module, double day, double hours) => Scenario.Event(
        module, $"{module}-removed-{day}", day, new RemovedV1 { Reason = RemovalReason.Planned, ReadingHours = hours });

    private static RecordedEvent Read(double day, double hours) => Scenario.Event(
        HostRecord.Key(Host), $"read-{day}", day,
        new RunHoursReadV1 { Meter = MeterOwner.Host, Readings = [MeterReading.AtInstant(Scenario.Start.AddDays(day), hours)] });
}
