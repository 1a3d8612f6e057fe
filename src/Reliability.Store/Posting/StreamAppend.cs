using System.Globalization;
using System.Text.Json;
using Marten;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Readings;
using Reliability.Store.Records;

namespace Reliability.Store.Posting;

/// <summary>
/// Appends the events of a window to their streams in one statement. Marten appends by one call of a function a stream, and
/// the function writes row by row: with a stream for each of a few hundred modules that is most of what posting costs. The
/// rows are those that Marten writes in quick mode; a test compares them.
/// </summary>
/// <remarks>Streams that exist must be locked and not archived (<see cref="StreamPreparation"/>).</remarks>
internal sealed class StreamAppend
{
    private readonly string _sql;
    private readonly Dictionary<Type, (string Name, string DotNetName)> _kinds;

    public StreamAppend(Database database, IDocumentStore documents)
    {
        _kinds = documents.Options.Events.AllKnownEventTypes()
            .ToDictionary(kind => kind.EventType, kind => (kind.EventTypeName, kind.DotNetTypeName));
        // One number of the sequence a row, in the order given: on a stream, positions rise with versions.
        _sql = $"""
            with posted as materialized (
                select * from unnest($1, $2, $3, $4, $5, $6, $7) with ordinality
                    as posted (stream, event_id, kind, dotnet_type, body, bytes, behind, place)
            ), stream as (
                insert into {database.Schema}.mt_streams (tenant_id, id, version, timestamp)
                select $8, stream, count(*), now() from posted group by stream order by stream
                on conflict (tenant_id, id) do update
                set version = mt_streams.version + excluded.version, timestamp = excluded.timestamp
                returning id, version
            ), placed as materialized (
                select posted.*, stream.version - posted.behind as version
                from posted join stream on stream.id = posted.stream order by place
            ), appended as (
                insert into {database.Schema}.mt_events
                    (seq_id, id, stream_id, version, data, bdata, type, tenant_id, timestamp, mt_dotnet_type, correlation_id,
                     is_archived)
                select nextval('{database.Schema}.mt_events_sequence'), event_id, stream, version, body::jsonb, bytes, kind, $8,
                       now(), dotnet_type, $9, false
                from placed
                returning seq_id
            )
            select max(seq_id), count(*) from appended
            """;
    }

    /// <summary>Appends events, and perhaps a sheet, in one transaction.</summary>
    /// <param name="connection">A connection with an open transaction.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="number">Number of the window, which each stored event bears.</param>
    /// <param name="events">Events for the streams of their modules, in the order in which they came.</param>
    /// <param name="sheet">A sheet of readings and its stream, or null.</param>
    /// <returns>The position of the last event.</returns>
    public async Task<long> AppendAsync(
        NpgsqlConnection connection, string organisation, long number, IReadOnlyCollection<RecordedEvent> events,
        (string Stream, ReadingSheet Sheet)? sheet)
    {
        var rows = new Rows(events.Count + 1);
        foreach (var module in events.GroupBy(posted => posted.ModuleId).OrderBy(group => group.Key, StringComparer.Ordinal))
        {
            var behind = module.Count();
            foreach (var posted in module)
            {
                var stored = EventKind.Of(posted.Body).Store(posted);
                var kind = _kinds[stored.GetType()];
                var body = JsonSerializer.Serialize(stored, stored.GetType(), StoredForm.Two);
                rows.Add(module.Key, posted.EventId, kind, body, null, --behind);
            }
        }
        if (sheet is var (stream, readings))
            rows.Add(stream, Guid.NewGuid(), _kinds[typeof(ReadingSheet)], "{}", readings.Bytes, 0);
        await using var command = rows.Command(_sql, connection);
        command.Parameters.Add(new NpgsqlParameter<string> { TypedValue = organisation });
        command.Parameters.Add(new NpgsqlParameter<string> { TypedValue = number.ToString(CultureInfo.InvariantCulture) });
        await using var reader = await command.ExecuteReaderAsync();
        await reader.ReadAsync();
        if (reader.GetInt64(1) != rows.Count)
            throw new InvalidDataException($"Of {rows.Count} events {reader.GetInt64(1)} were appended.");
        return reader.GetInt64(0);
    }

    /// <summary>What is appended, as columns.</summary>
    private sealed class Rows(int capacity)
    {
        private readonly List<string> _streams = new(capacity), _kinds = new(capacity), _dotnetTypes = new(capacity);
        private readonly List<string> _bodies = new(capacity);
        private readonly List<Guid> _ids = new(capacity);
        private readonly List<byte[]?> _bytes = new(capacity);
        private readonly List<int> _behind = new(capacity);

        public int Count => _ids.Count;

        public void Add(string stream, Guid id, (string Name, string DotNetName) kind, string body, byte[]? bytes, int behind)
        {
            _streams.Add(stream);
            _ids.Add(id);
            _kinds.Add(kind.Name);
            _dotnetTypes.Add(kind.DotNetName);
            _bodies.Add(body);
            _bytes.Add(bytes);
            _behind.Add(behind);
        }

        public NpgsqlCommand Command(string sql, NpgsqlConnection connection) => new(sql, connection)
        {
            Parameters =
            {
                new NpgsqlParameter<List<string>> { TypedValue = _streams },
                new NpgsqlParameter<List<Guid>> { TypedValue = _ids },
                new NpgsqlParameter<List<string>> { TypedValue = _kinds },
                new NpgsqlParameter<List<string>> { TypedValue = _dotnetTypes },
                new NpgsqlParameter<List<string>> { TypedValue = _bodies },
                new NpgsqlParameter<List<byte[]?>> { TypedValue = _bytes },
                new NpgsqlParameter<List<int>> { TypedValue = _behind },
            },
        };
    }
}
