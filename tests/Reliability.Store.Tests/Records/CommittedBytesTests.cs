using System.Text.Json;
using Npgsql;
using Reliability.History.Events;
using Xunit;

namespace Reliability.Store.Tests.Records;

/// <summary>
/// Events once stored are stored for good. The file beside this test holds what version 1 wrote; it is never changed,
/// only added to.
/// </summary>
public sealed class CommittedBytesTests(SharedServer server) : StoreTest(server)
{
    private static string[] Committed => File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Records", "events-v1.tsv"));

    [Fact]
    public async Task Bytes_that_version_1_wrote_are_read_from_the_log()
    {
        await InsertAsync();

        var record = (await Organisation.Modules.GetAsync("m-every", null, Cancellation))!.Record;

        Assert.Equal(EveryKind.Events.Count, record.Events.Count);
        Assert.Equal(EveryKind.Events.Select(Text), record.Events.Select(Text));
    }

    [Fact]
    public async Task What_is_written_today_is_what_version_1_wrote()
    {
        await RecordAsync(EveryKind.Events);

        var written = await ScalarAsync<string>(
            "select string_agg(type || E'\\t' || data::text, E'\\n' order by version) from mt_events");

        Assert.Equal(Committed, written.Split('\n'));
    }

    [Fact]
    public void Every_kind_of_event_has_its_own_name_and_bytes()
    {
        Assert.Equal(
            typeof(EventBody).Assembly.GetTypes().Where(type => type.IsSubclassOf(typeof(EventBody))).Order(ByName),
            EveryKind.Events.Select(recorded => recorded.Body.GetType()).Order(ByName));
        Assert.Equal(Committed.Length, Committed.Select(line => line.Split('\t')[0]).Distinct().Count());
    }

    private static Comparer<Type> ByName { get; } =
        Comparer<Type>.Create((one, other) => string.CompareOrdinal(one.Name, other.Name));

    /// <summary>All that was posted, as text; record time is the database's.</summary>
    private static string Text(RecordedEvent recorded) => JsonSerializer.Serialize(
        recorded with { RecordTime = default }, HistoryJsonContext.Default.RecordedEvent);

    private async Task InsertAsync()
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var batch = new NpgsqlBatch(connection);
        batch.BatchCommands.Add(new NpgsqlBatchCommand(
            "insert into mt_streams (id, version, tenant_id, is_archived) values ('m-every', 12, 'default', false)"));
        foreach (var (line, n) in Committed.Select((line, n) => (line.Split('\t'), n)))
            batch.BatchCommands.Add(new NpgsqlBatchCommand(
                """
                insert into mt_events (seq_id, id, stream_id, version, data, type, tenant_id, is_archived)
                values (nextval('mt_events_sequence'), $1, 'm-every', $2, $3::jsonb, $4, 'default', false)
                """)
            {
                Parameters =
                {
                    new NpgsqlParameter<Guid> { TypedValue = EveryKind.Events[n].EventId },
                    new NpgsqlParameter<long> { TypedValue = n + 1 },
                    new NpgsqlParameter<string> { TypedValue = line[1] },
                    new NpgsqlParameter<string> { TypedValue = line[0] },
                },
            });
        await batch.ExecuteNonQueryAsync(Cancellation);
    }
}
