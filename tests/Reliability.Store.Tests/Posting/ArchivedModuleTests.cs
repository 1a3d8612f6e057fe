using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

/// <summary>Decision 0002: a module that was archived loses nothing that is posted later.</summary>
public sealed class ArchivedModuleTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task A_repost_to_an_archived_module_is_a_duplicate()
    {
        var events = Scenario.WholeHistory("m-1");
        await RecordAndWaitAsync(events);
        await ArchiveAsync("m-1");

        var outcomes = await RecordAsync(events);

        Assert.All(outcomes, outcome => Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        Assert.Equal(events.Count, (await RecordedIdsAsync()).Count);
    }

    [Fact]
    public async Task A_late_event_of_an_archived_module_is_stored_and_counts()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2")]);
        await ArchiveAsync("m-1");
        var before = (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!;
        Assert.Equal(LifeOutcome.Survived(350), before.Derived.Lives[1].Outcome);

        await RecordAndWaitAsync(Scenario.Read("m-1", 100, 500), Scenario.Read("m-2", 100, 510));

        var lives = await Organisation.Lives.ReadAsync(new() { Modules = ["m-1"] }, null, Cancellation)
            .ToListAsync(Cancellation);
        Assert.Equal(LifeOutcome.Survived(500), lives[1].Life.Outcome);
        var after = (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!;
        Assert.Equal(before.Record.Events.Count + 1, after.Record.Events.Count);
    }

    [Fact]
    public async Task A_rebuild_takes_archived_modules_in()
    {
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var before = await DerivedRowsAsync();
        await ArchiveAsync("m-1");
        await ScalarAsync<object>("with l as (delete from lives) select 1");

        await Store.RebuildAsync(Cancellation);

        Assert.Equal(before, await DerivedRowsAsync());
    }

    [Fact]
    public async Task A_retired_module_is_archived_and_what_comes_late_or_takes_it_back_brings_it_back()
    {
        var retired = Scenario.Event("m-1", "m-1-retired", 100, new RetiredV1 { Reason = "obsolete" });
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2"), retired]);

        Assert.Equal(["m-1"], await ArchivedAsync());
        Assert.Equal(["m-2"], await ListedAsync(leaveOutRetired: true));
        Assert.Equal(["m-1", "m-2"], await ListedAsync(leaveOutRetired: false));
        var lives = await Organisation.Lives.ReadAsync(new() { Modules = ["m-1"] }, null, Cancellation).ToListAsync(Cancellation);
        Assert.Equal(2, lives.Count);

        // Late, but it changes nothing: retired it stays.
        await RecordAndWaitAsync(Scenario.Failed("m-1", 46, 900));
        Assert.Equal(["m-1"], await ArchivedAsync());

        await RecordAndWaitAsync(Scenario.Retracted("m-1", retired, 101));
        Assert.Empty(await ArchivedAsync());
        Assert.Equal(["m-1", "m-2"], await ListedAsync(leaveOutRetired: true));
    }

    [Fact]
    public async Task The_note_of_an_archived_module_is_erased_and_it_stays_archived()
    {
        var noted = Scenario.Event("m-1", "m-1-retired", 100, new RetiredV1 { Reason = "obsolete" }) with { Note = "a note" };
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), noted]);

        var erased = await Organisation.Notes.EraseAsync("m-1", noted.Source, noted.OriginalId, Cancellation);

        Assert.NotNull(erased!.EraseTime);
        await WaitAsync(erased.Revision);
        Assert.Equal(["m-1"], await ArchivedAsync());
    }

    private async Task<string[]> ArchivedAsync() =>
        (await ScalarAsync<string>("select coalesce(string_agg(id, ' ' order by id), '') from mt_streams where is_archived"))
        .Split(' ', StringSplitOptions.RemoveEmptyEntries);

    private async Task<IEnumerable<string>> ListedAsync(bool leaveOutRetired) =>
        (await Organisation.Modules.ListAsync(new() { LeaveOutRetired = leaveOutRetired }, null, 10, null, Cancellation))
        .Items.Select(stored => stored.Summary.Module.ModuleId);

    /// <summary>Archives through Marten's own function.</summary>
    private async Task ArchiveAsync(string module)
    {
        await ScalarAsync<object>($"select 1 from (select mt_archive_stream('{module}', 'default')) as done");
        Assert.True(await ScalarAsync<bool>($"select is_archived from mt_streams where id = '{module}'"));
        Assert.True(await ScalarAsync<bool>(
            $"select bool_and(is_archived) from mt_events where stream_id = '{module}'"));
    }
}
