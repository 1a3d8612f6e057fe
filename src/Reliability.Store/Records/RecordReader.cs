using System.Runtime.CompilerServices;
using Npgsql;
using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>
/// Reads whole records out of the log, archived modules included. Marten's table is read directly: a record is read far
/// more often than it is written, and this way costs one query and no wrapper an event.
/// </summary>
internal sealed class RecordReader(Database database)
{
    /// <summary>How many records are read at a time.</summary>
    public const int Chunk = 500;

    /// <summary>The records of these modules; modules without any event are left out.</summary>
    public async Task<IReadOnlyList<StoredRecord>> ReadAsync(
        string organisation, IReadOnlyList<string> modules, CancellationToken cancellation)
    {
        var rows = await database.ReadAsync(
            $"""
            select stream_id, seq_id, id, type, timestamp, data from {database.Schema}.mt_events
            where tenant_id = $1 and stream_id = any($2) order by stream_id, version
            """,
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = [.. modules] },
            ],
            Row,
            cancellation);
        return
        [
            .. rows.GroupBy(row => row.Event.ModuleId)
                .Select(group => new StoredRecord(group.Key, [.. group])),
        ];
    }

    /// <summary>The records of all these modules, a chunk after the other.</summary>
    public async IAsyncEnumerable<StoredRecord> StreamAsync(
        string organisation, IAsyncEnumerable<string> modules, [EnumeratorCancellation] CancellationToken cancellation)
    {
        await foreach (var chunk in modules.Chunk(Chunk).WithCancellation(cancellation))
            foreach (var record in await ReadAsync(organisation, chunk, cancellation))
                yield return record;
    }

    /// <summary>Ids of all modules that have events, in order.</summary>
    public async IAsyncEnumerable<string> ModulesAsync(
        string organisation, [EnumeratorCancellation] CancellationToken cancellation)
    {
        var after = "";
        while (true)
        {
            var ids = await database.ReadAsync(
                $"""
                select id from {database.Schema}.mt_streams
                where tenant_id = $1 and id > $2 and not starts_with(id, '{CatalogueStream.Prefix}')
                order by id limit {Chunk}
                """,
                [
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<string> { TypedValue = after },
                ],
                reader => reader.GetString(0),
                cancellation);
            foreach (var id in ids) yield return id;
            if (ids.Count < Chunk) yield break;
            after = ids[^1];
        }
    }

    private static (long Position, RecordedEvent Event) Row(NpgsqlDataReader reader)
    {
        var stored = EventKind.Read(reader.GetString(3), reader.GetFieldValue<byte[]>(5));
        return (
            reader.GetInt64(1),
            stored.ToRecorded(reader.GetGuid(2), reader.GetString(0), reader.GetFieldValue<DateTimeOffset>(4)));
    }
}
