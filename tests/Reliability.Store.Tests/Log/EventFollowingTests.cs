using Npgsql;
using Reliability.Store.Log;
using Xunit;

namespace Reliability.Store.Tests.Log;

/// <summary>Who follows the log gets every event once, in the order of positions, whatever commits when.</summary>
public sealed class EventFollowingTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Nothing_is_skipped_while_two_write_and_a_transaction_stays_open()
    {
        var other = await StartStoreAsync();
        await RecordAsync(Scenario.Registered("m-first"));
        // Takes its place in the log now, and commits long after those behind it.
        await using var open = new NpgsqlConnection(ConnectionString);
        await open.OpenAsync(Cancellation);
        await using var transaction = await open.BeginTransactionAsync(Cancellation);
        await ExecuteAsync(open, "insert into mt_streams (id, version, tenant_id, is_archived) values ('m-held', 1, 'default', false)");
        var held = await ExecuteAsync(
            open,
            """
            insert into mt_events (seq_id, id, stream_id, version, data, type, tenant_id, is_archived)
            select nextval('mt_events_sequence'), gen_random_uuid(), 'm-held', 1,
              jsonb_set(data, '{originalId}', '"held"'), type, tenant_id, false from mt_events limit 1
            returning seq_id
            """);

        await Task.WhenAll(PostAsync(Store, "a"), PostAsync(other, "b"));
        // Longer than the projections wait at a gap that nobody can fill.
        var before = await FollowAsync(0, TimeSpan.FromSeconds(6));
        Assert.All(before, entry => Assert.True(entry.Revision.Position < held));
        await transaction.CommitAsync(Cancellation);

        var events = (await FollowAsync(0, until: 122)).SelectMany(entry => entry.Events).ToList();
        Assert.Equal(122, events.Count);
        Assert.Equal(122, events.Select(recorded => recorded.OriginalId).Distinct().Count());
        Assert.Contains(events, recorded => recorded.OriginalId == "held");
    }

    [Fact]
    public async Task A_transaction_that_is_given_up_does_not_hold_the_log_for_ever()
    {
        await RecordAsync(Scenario.Registered("m-first"));
        await ScalarAsync<long>("select nextval('mt_events_sequence')");
        await RecordAsync(Scenario.Registered("m-second"));

        Assert.Equal(2, (await FollowAsync(0, until: 2)).Count);
    }

    [Fact]
    public async Task A_page_is_bounded_and_the_next_goes_on_behind_it()
    {
        await RecordAsync([.. Enumerable.Range(0, 1_200).Select(n => Scenario.Failed("m-1", n, n))]);
        await FollowAsync(0, until: 1_200);

        var pages = new List<LogPage>();
        for (var after = 0L; pages.Count == 0 || !pages[^1].IsLast; after = pages[^1].End.Position)
            pages.Add(await Organisation.Following.ReadAsync(after, Cancellation));

        Assert.Equal([500, 500, 200], pages.Select(page => page.Entries.Count));
        var positions = pages.SelectMany(page => page.Entries).Select(entry => entry.Revision.Position).ToList();
        Assert.Equal(positions.Order().Distinct(), positions);
    }

    private static async Task PostAsync(ReliabilityStore store, string name)
    {
        for (var n = 0; n < 30; n++)
        {
            await store.Default.Events.RecordAsync(
                [Scenario.Failed($"m-{name}", n, n), Scenario.Failed($"m-{name}-{n}", n, n)], Cancellation);
        }
    }

    private async Task<List<LogEntry>> FollowAsync(long after, TimeSpan time)
    {
        var entries = new List<LogEntry>();
        using var end = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        end.CancelAfter(time);
        while (!end.IsCancellationRequested)
        {
            var page = await Organisation.Following.ReadAsync(after, Cancellation);
            entries.AddRange(page.Entries);
            after = page.End.Position;
            await Task.Delay(20, Cancellation);
        }
        return entries;
    }

    private async Task<List<LogEntry>> FollowAsync(long after, int until)
    {
        var entries = new List<LogEntry>();
        while (entries.Sum(entry => entry.Events.Count()) < until)
        {
            var page = await Organisation.Following.ReadAsync(after, Cancellation);
            entries.AddRange(page.Entries);
            after = page.End.Position;
            await Task.Delay(20, Cancellation);
        }
        return entries;
    }

    private static async Task<long?> ExecuteAsync(NpgsqlConnection connection, string sql)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        return (long?)await command.ExecuteScalarAsync(Cancellation);
    }
}
