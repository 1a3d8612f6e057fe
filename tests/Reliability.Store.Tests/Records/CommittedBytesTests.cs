using System.Buffers.Binary;
using System.Globalization;
using System.Text.Json;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Records;

/// <summary>
/// Events once stored are stored for good. The files beside this test hold what each version wrote; they are never
/// changed, only added to.
/// </summary>
public sealed class CommittedBytesTests(SharedServer server) : StoreTest(server)
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task Bytes_that_a_version_wrote_are_read_from_the_log(int version)
    {
        await InsertAsync(Committed(version));

        var record = (await Organisation.Modules.GetAsync("m-every", null, Cancellation))!.Record;

        Assert.Equal(EveryKind.Events.Take(record.Events.Count).Select(Text), record.Events.Select(Text));
        Assert.Equal(Committed(version).Length, record.Events.Count);
    }

    [Fact]
    public async Task Both_versions_stand_in_one_record_and_give_the_same_lives()
    {
        await Organisation.Catalogue.CreateAsync("lamp-2", Scenario.Blower, Cancellation);
        await InsertAsync([.. Committed(1).Zip(Committed(2), (one, two) => one.Contains("read", StringComparison.Ordinal) ? one : two)]);
        var mixed = (await Organisation.Modules.GetAsync("m-every", null, Cancellation))!.Derived;
        await ScalarAsync<object>("with e as (delete from mt_events), s as (delete from mt_streams) select 1");
        await InsertAsync([.. Committed(2).Take(Committed(1).Length)]);

        var alone = (await Organisation.Modules.GetAsync("m-every", null, Cancellation))!.Derived;

        Assert.NotEmpty(alone.Lives);
        Assert.Equivalent(alone, mixed, strict: true);
    }

    [Fact]
    public async Task The_projection_reads_what_version_1_wrote()
    {
        await InsertAsync(Committed(1));
        // An append tells the daemon that there is something to read.
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));

        Assert.Equal(1, await ScalarAsync<long>("select count(*) from module_state where module = 'm-every'"));
    }

    [Fact]
    public async Task A_repost_of_what_version_1_stored_is_a_duplicate()
    {
        var stored = EveryKind.Events.Take(Committed(1).Length).ToList();
        await RecordAsync(stored);
        foreach (var (recorded, n) in stored.Select((recorded, n) => (recorded, n)))
        {
            var line = Committed(1)[n].Split('\t');
            await ScalarAsync<object>(
                $"""
                with e as (update mt_events set type = '{line[0]}', data = '{line[1].Replace("'", "''", StringComparison.Ordinal)}' where id = '{recorded.EventId}'),
                p as (update posted_event set body_hash = {(HashesOfVersion1[n] is { } hash ? ShortHash(hash) : "body_hash")} where event_id = '{recorded.EventId}')
                select 1
                """);
        }

        var outcomes = await RecordAsync(stored);

        Assert.All(outcomes, outcome => Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        Assert.Equal(stored.Count, await ScalarAsync<long>("select count(*) from mt_events"));
    }

    [Fact]
    public async Task What_is_written_today_is_what_version_2_wrote()
    {
        await RecordAsync(EveryKind.Events);

        var written = await ScalarAsync<string>(
            "select string_agg(type || E'\\t' || data::text, E'\\n' order by version) from mt_events");

        Assert.Equal(Committed(2), written.Split('\n'));
    }

    [Fact]
    public void Every_kind_of_event_has_its_own_name_and_bytes()
    {
        Assert.Equal(
            typeof(EventBody).Assembly.GetTypes().Where(type => type.IsSubclassOf(typeof(EventBody))).Order(ByName),
            EveryKind.Events.Select(recorded => recorded.Body.GetType()).Order(ByName));
        foreach (var committed in new[] { Committed(1), Committed(2) })
            Assert.Equal(committed.Length, committed.Select(line => line.Split('\t')[0]).Distinct().Count());
        Assert.Equal(EveryKind.Events.Count, Committed(2).Length);
    }

    private static Comparer<Type> ByName { get; } =
        Comparer<Type>.Create((one, other) => string.CompareOrdinal(one.Name, other.Name));

    /// <summary>The first 64 bits, which <c>posted_event.body_hash</c> holds now.</summary>
    private static string ShortHash(string hash) => BinaryPrimitives
        .ReadInt64BigEndian(Guid.Parse(hash).ToByteArray(bigEndian: true)).ToString(CultureInfo.InvariantCulture);

    /// <summary>
    /// What <c>posted_event.body_hash</c> held for the events of version 1: 128 bits. Null for readings, which are hashed in
    /// another form now: a table of the earlier form is made anew from the log.
    /// </summary>
    private static readonly string?[] HashesOfVersion1 =
    [
        "77ce8a99-deb2-24a7-c7d5-23dd9662800f",
        "bf405d5e-b603-c7f2-1905-4f30e2bcf695",
        null,
        "c13527db-a194-5ec5-1495-581561c6e81f",
        "48ddb827-c49e-c35c-e323-7e5063ec7db5",
        "03709d07-4566-9b84-1105-39b91a7bbe84",
        "7bb71834-6596-d166-a6d9-d367672274f4",
        "5ebb9b17-1b07-ecce-78cc-d1c0e7988a5e",
        "b8203c81-3fbb-fb9d-a3aa-39b9f671f9c3",
        "220b2fbf-e81c-cb48-8717-2bb2af2dad65",
        "4ed6826a-419d-2017-edcc-a5889e69d022",
        "fe5ce79d-1e83-13ef-2121-351cdb0c1d9e",
    ];

    /// <summary>All that was posted, as text; record time is the database's.</summary>
    private static string Text(RecordedEvent recorded) => JsonSerializer.Serialize(
        recorded with { RecordTime = default }, HistoryJsonContext.Default.RecordedEvent);

    private static string[] Committed(int version) =>
        File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Records", $"events-v{version}.tsv"));

    private async Task InsertAsync(string[] committed)
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var batch = new NpgsqlBatch(connection);
        batch.BatchCommands.Add(new NpgsqlBatchCommand(
            $"""
            insert into mt_streams (id, version, tenant_id, is_archived)
            values ('m-every', {committed.Length}, 'default', false)
            """));
        foreach (var (line, n) in committed.Select((line, n) => (line.Split('\t'), n)))
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
