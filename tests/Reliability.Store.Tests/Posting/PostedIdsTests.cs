using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

/// <summary>Decision 0006: the table of posted ids follows from the log.</summary>
public sealed class PostedIdsTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task A_table_made_anew_knows_every_event_with_its_first_receipt()
    {
        var (events, receipts) = await PostAsync();
        await ScalarAsync<object>("with p as (delete from posted_event), w as (delete from commit_window) select 1");

        var count = await Store.RebuildPostedIdsAsync(Cancellation);

        Assert.Equal(events.Count, count);
        await AssertKnownAsync(events, receipts);
    }

    [Fact]
    public async Task A_table_made_anew_beside_posts_loses_none()
    {
        var (events, receipts) = await PostAsync();

        var posts = Enumerable.Range(0, 40).Select(n => RecordAsync(Scenario.WholeHistory($"late-{n}"))).ToList();
        await Store.RebuildPostedIdsAsync(Cancellation);
        await Task.WhenAll(posts);

        await AssertKnownAsync(events, receipts);
        await AssertKnownAsync(
            [.. Enumerable.Range(0, 40).SelectMany(n => Scenario.WholeHistory($"late-{n}"))],
            [.. posts.SelectMany(post => post.Result.Cast<RecordOutcome.Receipt>())]);
    }

    [Fact]
    public async Task A_database_with_the_earlier_form_of_the_table_is_brought_up()
    {
        var (events, receipts) = await PostAsync();
        await Store.DisposeAsync();
        // As version 1 left it: the organisation in the key, 128 bits of the hash, no window on the events.
        await ScalarAsync<object>(
            """
            with made as (select 1) select 1 from made;
            create table earlier as select 'default'::text as organisation, event_id,
              md5(body_hash::text)::uuid as body_hash, window_number from posted_event;
            drop table posted_event;
            alter table earlier rename to posted_event;
            alter table posted_event add primary key (organisation, event_id);
            alter table mt_events drop column correlation_id;
            drop function mt_quick_append_events;
            """);

        var store = await StartStoreAsync();

        var again = await store.Default.Events.RecordAsync(events, Cancellation);
        Assert.Equal(
            receipts.Select(receipt => receipt with { Duplicate = true }),
            again.Cast<RecordOutcome.Receipt>());
        Assert.Equal(events.Count, (await RecordedIdsAsync()).Count);
        Assert.Equal(0, await ScalarAsync<long>(
            "select count(*) from information_schema.tables where table_name = 'posted_event_before_sheets'"));
    }

    private async Task<(IReadOnlyList<RecordedEvent> Events, IReadOnlyList<RecordOutcome.Receipt> Receipts)> PostAsync()
    {
        var events = Enumerable.Range(0, 30).SelectMany(n => Scenario.WholeHistory($"m-{n}")).ToList();
        var receipts = new List<RecordOutcome.Receipt>();
        foreach (var batch in events.Chunk(40))
            receipts.AddRange((await RecordAsync(batch)).Cast<RecordOutcome.Receipt>());
        return (events, receipts);
    }

    private async Task AssertKnownAsync(
        IReadOnlyList<RecordedEvent> events, IReadOnlyList<RecordOutcome.Receipt> receipts)
    {
        var before = (await RecordedIdsAsync()).Count;
        var again = await RecordAsync([.. events]);
        Assert.Equal(
            receipts.Select(receipt => receipt.Revision),
            again.Select(outcome => Assert.IsType<RecordOutcome.Receipt>(outcome).Revision));
        Assert.All(again, outcome => Assert.True(((RecordOutcome.Receipt)outcome).Duplicate));
        var other = await RecordAsync([.. events.Select(posted => posted with
        {
            Occurrence = Occurrence.AtInstant(posted.Occurrence.Earliest.AddMinutes(1)),
        })]);
        Assert.All(other, outcome => Assert.IsType<RecordOutcome.OtherBody>(outcome));
        Assert.Equal(before, (await RecordedIdsAsync()).Count);
    }
}
