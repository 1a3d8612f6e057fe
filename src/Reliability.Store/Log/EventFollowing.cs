using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Notes;
using Reliability.Store.Readings;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Log;

/// <summary>
/// The events of an organisation in the order of the log, for those who follow it. Positions are given before a commit and
/// may become visible out of order, so the log is read only up to where it is settled: the mark that the projections keep,
/// below which no event can come any more.
/// </summary>
public sealed class EventFollowing
{
    private const int PageRows = 500, PageBytes = 4 * 1024 * 1024;

    private readonly string _organisation;
    private readonly Database _database;
    private readonly SettledMark _settled;

    internal EventFollowing(string organisation, Database database)
    {
        (_organisation, _database) = (organisation, database);
        _settled = new SettledMark(organisation, database);
    }

    /// <summary>Up to where the log is settled. Many that ask at once share one query.</summary>
    /// <param name="cancellation">Ends the waiting.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<Revision> SettledAsync(CancellationToken cancellation) => _settled.ReadAsync(cancellation);

    /// <summary>
    /// The next stretch of the log, of bounded size. Empty when nothing is settled behind the position.
    /// </summary>
    /// <param name="after">The position behind which it begins.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<LogPage> ReadAsync(long after, CancellationToken cancellation)
    {
        var settled = await SettledAsync(cancellation);
        if (settled.Position <= after) return new LogPage([], At(after, settled), IsLast: true);
        var (entries, rows, bytes, position) = (new List<LogEntry>(), 0, 0, after);
        await foreach (var row in _database.StreamAsync(
            SheetPages.Query(
                "seq_id, stream_id, id, type, timestamp, data, bdata",
                $"{_database.Schema}.mt_events where tenant_id = $1 and seq_id > $2 and seq_id <= $3", PageRows, PageBytes),
            [
                new NpgsqlParameter<string> { TypedValue = _organisation },
                new NpgsqlParameter<long> { TypedValue = after },
                new NpgsqlParameter<long> { TypedValue = settled.Position },
            ],
            Row, cancellation))
        {
            position = row.Position;
            if (row.Events is not null) entries.Add(new LogEntry(At(position, settled), row.Events));
            bytes += row.Bytes;
            if (++rows == PageRows || bytes >= PageBytes)
                return new LogPage(entries, At(position, settled), IsLast: position == settled.Position);
        }
        return new LogPage(entries, settled, IsLast: true);
    }

    private static Revision At(long position, Revision settled) => new(
        settled.Organisation, position, Math.Min(settled.CatalogueVersion, position));

    private (long Position, int Bytes, IEnumerable<RecordedEvent>? Events) Row(NpgsqlDataReader reader)
    {
        var (position, stream, kind) = (reader.GetInt64(0), reader.GetString(1), reader.GetString(3));
        var recordTime = reader.GetFieldValue<DateTimeOffset>(4);
        if (kind == ReadingSheet.KindName)
        {
            var sheet = new ReadingSheet(reader.GetFieldValue<byte[]>(6));
            return (position, sheet.Bytes.Length, sheet.Readings(_organisation, recordTime));
        }
        // Streams of the catalogue and the like hold nothing that was posted, and an erased note is nothing that happened.
        if (kind == NoteErasedV1.KindName) return (position, 0, null);
        if (!RecordScope.IsModule(stream) && HostRecord.HostDevice(stream) is null) return (position, 0, null);
        var json = reader.GetFieldValue<byte[]>(5);
        return (position, json.Length, [EventKind.Read(kind, json).ToRecorded(reader.GetGuid(2), stream, recordTime)]);
    }
}
