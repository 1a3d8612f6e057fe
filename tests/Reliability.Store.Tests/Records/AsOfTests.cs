using System.Text.Json;
using Npgsql;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Catalogue;
using Reliability.Store.Modules;
using Reliability.Store.Records;
using Reliability.Store.Revisions;
using Xunit;

namespace Reliability.Store.Tests.Records;

/// <summary>The record as it stood: what was recorded by an instant, whatever came later.</summary>
public sealed class AsOfTests(SharedServer server) : StoreTest(server)
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    [Fact]
    public async Task What_is_recorded_later_changes_nothing_as_of_before()
    {
        await AddModelAsync();
        var failed = Scenario.WholeHistory("m-1")[4];
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2")]);
        var given = await TextAsync(null);
        var then = await NowAsync();

        // A correction, a late event from before all that was there, and a module not heard of before.
        await RecordAndWaitAsync(
            [Scenario.Retracted("m-1", failed, 100), Scenario.Read("m-1", 3, 30), .. Scenario.WholeHistory("m-3")]);
        var changed = Scenario.Blower with { RatedLives = [new RatedLife { RatedHours = 15_000 }] };
        var update = await Organisation.Catalogue.UpdateAsync(Scenario.Model, changed, etag: null, Cancellation);
        await WaitAsync(Assert.IsType<CatalogueOutcome.Stored>(update).Model.Revision);

        Assert.NotEqual(given, await TextAsync(null));
        Assert.Equal(given, await TextAsync(then));
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(given, await TextAsync(then));
        var second = await StartStoreAsync();
        Assert.Equal(given, await TextAsync(then, second.Default));
    }

    [Fact]
    public async Task An_event_counts_from_its_own_record_time_on()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.Registered("m-1"), Scenario.Installed("m-1"));
        await RecordAndWaitAsync(Scenario.Read("m-1", 20, 400));
        var read = (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Record.Events
            .Single(recorded => recorded.Body is RunHoursReadV1).RecordTime;

        var with = (await AsOfAsync("m-1", read))!;
        var without = (await AsOfAsync("m-1", read.AddMicroseconds(-1)))!;

        Assert.Equal((3, 2), (with.Record.Events.Count, without.Record.Events.Count));
        Assert.Equal((400.0, 0.0), (with.Derived.Age!.Value.LowerHours, without.Derived.Age!.Value.LowerHours));
        Assert.True(without.Revision.Position < with.Revision.Position);
    }

    [Fact]
    public async Task A_retraction_of_a_retraction_counts_from_its_own_record_time_on()
    {
        await AddModelAsync();
        var read = Scenario.Read("m-1", 20, 400);
        var retraction = Scenario.Retracted("m-1", read, 30);
        var times = new List<DateTimeOffset>();
        foreach (var events in new RecordedEvent[][]
            { [Scenario.Registered("m-1"), Scenario.Installed("m-1"), read], [retraction], [Scenario.Retracted("m-1", retraction, 40)] })
        {
            await RecordAndWaitAsync(events);
            times.Add(await NowAsync());
        }

        var ages = new List<double>();
        foreach (var time in times) ages.Add((await AsOfAsync("m-1", time))!.Derived.Age!.Value.LowerHours);

        Assert.Equal([400, 0, 400], ages);
    }

    [Fact]
    public async Task Before_the_first_event_there_is_nothing()
    {
        var before = await NowAsync();
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var view = new RecordView { AsOfRecordTime = before };

        Assert.Equal(RecordTimeWait.Settled, await Organisation.RecordTimes.SettleAsync(before, Patience, Cancellation));
        Assert.Null(await Organisation.Modules.GetAsync("m-1", view, Cancellation));
        Assert.Null(await Organisation.Modules.ListEventsAsync("m-1", view, 10, null, Cancellation));
        Assert.Empty((await Organisation.Modules.ListAsync(new(), view, 10, null, Cancellation)).Items);
        Assert.Empty(await Organisation.Lives.ReadAsync(LifeFilter.All, view, Cancellation).ToListAsync(Cancellation));
        Assert.Null((await Organisation.Catalogue.ReadAsync(before, Cancellation)).Find(Scenario.Model));
    }

    [Fact]
    public async Task The_catalogue_as_of_an_instant_has_the_versions_recorded_by_then()
    {
        await AddModelAsync();
        var hours = new List<double?> { 20_000 };
        var times = new List<DateTimeOffset> { await NowAsync() };
        foreach (var rated in new[] { 15_000.0, 12_000 })
        {
            var values = Scenario.Blower with { RatedLives = [new RatedLife { RatedHours = rated }] };
            await Organisation.Catalogue.UpdateAsync(Scenario.Model, values, etag: null, Cancellation);
            hours.Add(rated);
            times.Add(await NowAsync());
        }
        await Organisation.Catalogue.CreateAsync("other", Scenario.Blower, Cancellation);

        for (var i = 0; i < times.Count; i++)
        {
            var catalogue = await Organisation.Catalogue.ReadAsync(times[i], Cancellation);
            Assert.Equal(
                hours.Take(i + 1), catalogue.Find(Scenario.Model)!.Versions.Select(version => version.RatedLives[0].RatedHours));
            Assert.Null(catalogue.Find("other"));
        }
    }

    [Fact]
    public async Task Lists_of_modules_are_filtered_by_the_state_of_then()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Enumerable.Range(0, 5).SelectMany(n => new[]
        {
            Scenario.Registered($"m-{n}"), Scenario.Installed($"m-{n}"), Scenario.Read($"m-{n}", 20, 400),
        }).ToArray());
        var inService = new ModuleFilter { State = ModuleState.InService };
        var then = await NowAsync();
        await RecordAndWaitAsync([.. Enumerable.Range(0, 4).Select(n => Scenario.Removed($"m-{n}", 46, 900)), Scenario.Registered("m-9")]);

        Assert.Equal(["m-4"], await ListedAsync(inService, null));
        Assert.Equal(["m-0", "m-1", "m-2", "m-3", "m-4"], await ListedAsync(inService, then));
        Assert.Equal(["m-0", "m-1", "m-2", "m-3", "m-4"], await ListedAsync(new(), then));
        Assert.Equal(["m-3"], await ListedAsync(new() { SerialNumber = "SN-m-3" }, then));
        Assert.Empty(await ListedAsync(new() { SerialNumber = "SN-m-9" }, then));
    }

    [Fact]
    public async Task Filters_of_derived_modules_say_the_same_as_those_of_the_query()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(
            [.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2").Take(6), Scenario.Registered("m-3"), Scenario.Read("m-4", 5, 10)]);
        ModuleFilter[] filters =
        [
            new(), new() { Model = Scenario.Model }, new() { Model = "none" }, new() { Site = "Quennick General" },
            new() { HostDevice = "host-m-1" }, new() { HostModel = "ventilator-3", Lot = "lot-7" },
            new() { Refurbisher = "Second Turn Bench" }, new() { RefurbishmentCount = 0 }, new() { RefurbishmentCount = 1 },
            new() { State = ModuleState.InService }, new() { State = ModuleState.OnShelf }, new() { State = ModuleState.Unregistered },
            new() { SerialNumber = "SN-m-2" }, new() { Udi = "SN-m-2" }, new() { AssetNumber = "SN-m-2" },
        ];
        var now = await NowAsync();

        foreach (var filter in filters)
            Assert.Equal(await ListedAsync(filter, null), await ListedAsync(filter, now));
        Assert.Contains(filters, filter => filter.State == ModuleState.InService);
    }

    [Fact]
    public async Task A_time_to_come_is_not_settled()
    {
        var now = await NowAsync();

        Assert.Equal(
            RecordTimeWait.Future, await Organisation.RecordTimes.SettleAsync(now.AddMinutes(1), Patience, Cancellation));
    }

    [Fact]
    public async Task An_instant_is_settled_only_when_no_post_that_began_by_then_is_open()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.Registered("m-1"), Scenario.Installed("m-1"), Scenario.Read("m-1", 20, 400));
        var late = Scenario.Read("m-1", 40, 800);
        // Another process has posted the same id and not yet committed: the post below has begun and waits for it.
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        var blocking = await connection.BeginTransactionAsync(Cancellation);
        await using (var command = new NpgsqlCommand(
            "insert into posted_event select @id, body_hash, window_number from posted_event limit 1", connection, blocking))
        {
            command.Parameters.AddWithValue("id", late.EventId);
            await command.ExecuteNonQueryAsync(Cancellation);
        }
        var post = RecordAsync(late);
        while (await ScalarAsync<long>($"select count(*) from pg_stat_activity where {connection.ProcessID} = any(pg_blocking_pids(pid))") == 0)
            await Task.Delay(10, Cancellation);
        var then = await NowAsync();

        Assert.Equal(
            RecordTimeWait.TimedOut,
            await Organisation.RecordTimes.SettleAsync(then, TimeSpan.FromSeconds(3), Cancellation));
        await blocking.RollbackAsync(Cancellation);
        await post;

        Assert.Equal(RecordTimeWait.Settled, await Organisation.RecordTimes.SettleAsync(then, Patience, Cancellation));
        var history = (await Organisation.Modules.GetAsync("m-1", new() { AsOfRecordTime = then }, Cancellation))!;
        Assert.Equal(800, history.Derived.Age!.Value.LowerHours);
        Assert.True(history.Record.Events.Max(recorded => recorded.RecordTime) <= then);
    }

    [Fact]
    public async Task A_transaction_that_waits_for_its_client_may_still_write()
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var idle = await connection.BeginTransactionAsync(Cancellation);
        await using (var command = new NpgsqlCommand("select count(*) from mt_events", connection, idle))
            await command.ExecuteScalarAsync(Cancellation);
        var then = await NowAsync();

        var open = await Organisation.RecordTimes.SettleAsync(then, TimeSpan.FromSeconds(3), Cancellation);
        await idle.RollbackAsync(Cancellation);
        var ended = await Organisation.RecordTimes.SettleAsync(then, Patience, Cancellation);

        Assert.Equal((RecordTimeWait.TimedOut, RecordTimeWait.Settled), (open, ended));
    }

    [Fact]
    public async Task A_long_read_holds_no_instant_back()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var command = new NpgsqlCommand("select pg_sleep(60) from mt_events", connection);
        var reading = command.ExecuteNonQueryAsync(Cancellation);

        var wait = await Organisation.RecordTimes.SettleAsync(await NowAsync(), Patience, Cancellation);

        Assert.False(reading.IsCompleted);
        command.Cancel();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => reading);
        Assert.Equal(RecordTimeWait.Settled, wait);
    }

    [Fact]
    public async Task Record_times_are_true_whatever_the_zone_of_the_database()
    {
        var elsewhere = new ReliabilityStore(
            Options with { ConnectionString = Options.ConnectionString + ";Timezone=Asia/Tokyo" },
            Microsoft.Extensions.Logging.Abstractions.NullLoggerFactory.Instance);
        await using var _ = elsewhere;
        await elsewhere.StartAsync(Cancellation);
        var before = await NowAsync();
        await elsewhere.Default.Events.RecordAsync([Scenario.Registered("m-1")], Cancellation);
        var after = await NowAsync();

        var recorded = Assert.Single((await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Record.Events);

        Assert.InRange(recorded.RecordTime, before, after);
    }

    private async Task AddModelAsync() => Assert.IsType<CatalogueOutcome.Stored>(
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation));

    private Task<DateTimeOffset> NowAsync() => Organisation.RecordTimes.NowAsync(Cancellation);

    private Task<ModuleHistory?> AsOfAsync(string module, DateTimeOffset recordTime) =>
        Organisation.Modules.GetAsync(module, new() { AsOfRecordTime = recordTime }, Cancellation);

    private async Task<IReadOnlyList<string>> ListedAsync(ModuleFilter filter, DateTimeOffset? recordTime)
    {
        var view = new RecordView { AsOfRecordTime = recordTime };
        var ids = new List<string>();
        for (Paging.PageToken? after = null; ;)
        {
            var page = await Organisation.Modules.ListAsync(filter, view, 2, after, Cancellation);
            ids.AddRange(page.Items.Select(stored => stored.Summary.Module.ModuleId));
            if ((after = page.Next) is null) break;
        }
        Assert.Equal(
            ids,
            await Organisation.Modules.ReadAsync(filter, view, Cancellation)
                .Select(history => history.Record.ModuleId).ToListAsync(Cancellation));
        return ids;
    }

    /// <summary>All that can be asked of modules and lives, with revisions, as text.</summary>
    private async Task<string> TextAsync(DateTimeOffset? recordTime, OrganisationStore? asked = null)
    {
        var organisation = asked ?? Organisation;
        var view = new RecordView { AsOfRecordTime = recordTime };
        if (recordTime is { } time)
            Assert.Equal(RecordTimeWait.Settled, await organisation.RecordTimes.SettleAsync(time, Patience, Cancellation));
        var text = new List<string>();
        foreach (var stored in await organisation.Lives.ReadAsync(LifeFilter.All, view, Cancellation).ToListAsync(Cancellation))
            text.Add(JsonSerializer.Serialize(stored.Life, StoreJsonContext.Default.Life) + stored.Revision);
        foreach (var stored in (await organisation.Modules.ListAsync(new(), view, 100, null, Cancellation)).Items)
            text.Add(JsonSerializer.Serialize(stored.Summary, StoreJsonContext.Default.ModuleSummary) + stored.Revision);
        foreach (var module in new[] { "m-1", "m-2" })
            foreach (var stored in (await organisation.Modules.ListEventsAsync(module, view, 100, null, Cancellation))!.Items)
                text.Add($"{stored.Event.OriginalId} {stored.Status.Standing} {stored.Revision}");
        return string.Join('\n', text);
    }
}
