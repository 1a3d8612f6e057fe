using Marten;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Notes;

/// <summary>
/// Erases notes. The text goes out of the stored event itself, whichever version wrote it; an event that says so without the
/// text comes onto the same stream in the same transaction. Nothing else changes: what a post says has no part in its note
/// (<see cref="EventContent"/>), so a repost stays a duplicate and brings nothing back.
/// </summary>
public sealed class NoteStore
{
    private readonly string _organisation;
    private readonly Database _database;
    private readonly IDocumentStore _documents;
    private readonly RecordReader _records;

    internal NoteStore(string organisation, Database database, IDocumentStore documents)
    {
        (_organisation, _database, _documents) = (organisation, database, documents);
        _records = new RecordReader(database);
    }

    /// <summary>Erases the note of an event of a module's record.</summary>
    /// <param name="module">Id of the module.</param>
    /// <param name="source">The system that posted the event.</param>
    /// <param name="originalId">The id under which it posted it.</param>
    /// <param name="cancellation">Ends the call.</param>
    /// <returns>What came of it; null when the record holds no such event.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<NoteErasure?> EraseAsync(
        string module, string source, string originalId, CancellationToken cancellation)
    {
        var id = EventIdentity.EventId(_organisation, source, originalId);
        var record = await _records.ReadLatestAsync(_organisation, module, aliasesAsOf: null, cancellation);
        var (position, posted) = record?.Events.FirstOrDefault(stored => stored.Event.EventId == id) ?? default;
        if (posted is null) return null;
        if (posted.Note is not null) await EraseAsync(posted, cancellation);
        var erased = await ErasedAsync([posted.ModuleId], cancellation);
        return erased.TryGetValue(id, out var time)
            ? new NoteErasure(time.EraseTime, new Revision(_organisation, time.Position, 0))
            : new NoteErasure(null, new Revision(_organisation, position, 0));
    }

    /// <summary>When notes of events on these streams were erased, by event.</summary>
    internal async Task<IReadOnlyDictionary<Guid, (DateTimeOffset EraseTime, long Position)>> ErasedAsync(
        IEnumerable<string> streams, CancellationToken cancellation)
    {
        var rows = await _database.ReadAsync(
            $"""
            select (data ->> 'eventId')::uuid, timestamp, seq_id from {_database.Schema}.mt_events
            where tenant_id = $1 and stream_id = any($2) and type = '{NoteErasedV1.KindName}' order by seq_id
            """,
            [
                new NpgsqlParameter<string> { TypedValue = _organisation },
                new NpgsqlParameter<string[]> { TypedValue = [.. streams] },
            ],
            reader => (EventId: reader.GetGuid(0), Time: reader.GetFieldValue<DateTimeOffset>(1), Position: reader.GetInt64(2)),
            cancellation);
        return rows.ToDictionary(row => row.EventId, row => (row.Time, row.Position));
    }

    private Task<bool> EraseAsync(RecordedEvent posted, CancellationToken cancellation) =>
        LogChange.DoAsync(_database, async transaction =>
        {
            var connection = transaction.Connection!;
            await StreamPreparation.PrepareAsync(connection, _database, _organisation, [posted.ModuleId]);
            await using var erase = new NpgsqlCommand(
                $"""
                update {_database.Schema}.mt_events set data = data - 'note'
                where tenant_id = $1 and stream_id = $2 and id = $3 and data ? 'note'
                """,
                connection)
            {
                Parameters =
                {
                    new NpgsqlParameter<string> { TypedValue = _organisation },
                    new NpgsqlParameter<string> { TypedValue = posted.ModuleId },
                    new NpgsqlParameter<Guid> { TypedValue = posted.EventId },
                },
            };
            // Somebody else may have erased it since it was read; that one has told it.
            if (await erase.ExecuteNonQueryAsync(cancellation) == 0) return false;
            await LogChange.AppendAsync(
                _documents, transaction, _organisation, posted.ModuleId, new NoteErasedV1 { EventId = posted.EventId }, cancellation);
            return true;
        }, erased => erased, cancellation);
}
