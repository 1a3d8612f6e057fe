using Marten;
using Npgsql;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.Store.Lives;
using Reliability.Store.Paging;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Aliases;

/// <summary>
/// Names of an organisation that mean the same. Every change is an event on the alias's own stream; the table of changes is
/// written in the same transaction, so that an answer shows a change as soon as it is made.
/// </summary>
public sealed class AliasStore
{
    /// <summary>At most this many names mean one thing: the records of all ids of a module are read together.</summary>
    public const int MaxNames = 100;

    private const string List = "aliases";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly IDocumentStore _documents;
    private readonly AliasReader _reader;

    internal AliasStore(string organisation, Database database, IDocumentStore documents)
    {
        (_organisation, _database, _documents) = (organisation, database, documents);
        _reader = new AliasReader(database);
    }

    /// <summary>Makes a name stand for another.</summary>
    /// <param name="kind">What they name.</param>
    /// <param name="alternate">The name that is not to be used any more.</param>
    /// <param name="primary">Another name, for which it stands.</param>
    /// <param name="validateOnly">Check everything, change nothing.</param>
    /// <param name="cancellation">Ends the call.</param>
    /// <returns>Created, allowed, already exists, circular, or too many.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<AliasOutcome> CreateAsync(
        AliasKind kind, string alternate, string primary, bool validateOnly, CancellationToken cancellation) =>
        LogChange.DoAsync(_database, async transaction =>
        {
            await LockAsync(transaction.Connection!, cancellation);
            var aliases = await _reader.ReadAsync(_organisation, cancellation);
            if (aliases.Active(kind, alternate) is { } there) return new AliasOutcome.AlreadyExists(Stored(there));
            if (aliases.WouldBeCircular(kind, alternate, primary)) return new AliasOutcome.Circular();
            if (aliases.Names(kind, alternate).Count + aliases.Names(kind, primary).Count > MaxNames)
                return new AliasOutcome.TooMany();
            if (validateOnly) return new AliasOutcome.Allowed();
            var change = await WriteAsync(
                transaction, kind, alternate, primary,
                new AliasCreatedV1 { Kind = kind, Alternate = alternate, Primary = primary }, cancellation);
            return (AliasOutcome)new AliasOutcome.Created(Stored(change));
        }, outcome => outcome is AliasOutcome.Created, cancellation);

    /// <summary>Lets a name stand for itself again.</summary>
    /// <param name="id">Id of the alias.</param>
    /// <param name="etag">The etag of the alias that is meant; null for whatever stands.</param>
    /// <param name="validateOnly">Check everything, change nothing.</param>
    /// <param name="cancellation">Ends the call.</param>
    /// <returns>Deleted, allowed, not found, or conflict.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<AliasOutcome> DeleteAsync(string id, string? etag, bool validateOnly, CancellationToken cancellation) =>
        LogChange.DoAsync(_database, async transaction =>
        {
            await LockAsync(transaction.Connection!, cancellation);
            var aliases = await _reader.ReadAsync(_organisation, cancellation);
            if (aliases.Aliases.FirstOrDefault(alias => Id(alias) == id) is not { } there)
                return new AliasOutcome.NotFound();
            if (etag is not null && etag != Stored(there).Etag) return new AliasOutcome.Conflict();
            if (validateOnly) return new AliasOutcome.Allowed();
            var change = await WriteAsync(
                transaction, there.Kind, there.Alternate, null,
                new AliasDeletedV1 { Kind = there.Kind, Alternate = there.Alternate }, cancellation);
            return (AliasOutcome)new AliasOutcome.Deleted(RevisionAt(change.Position));
        }, outcome => outcome is AliasOutcome.Deleted, cancellation);

    /// <summary>A page of the aliases in force, in order of kind and alternate name.</summary>
    /// <param name="kind">What they are about; null for all.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="PageTokenException">The token is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredAlias>> ListAsync(
        AliasKind? kind, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var listed = (await _reader.ReadAsync(_organisation, cancellation)).Aliases.Where(alias => kind is null || alias.Kind == kind);
        if (after is not null)
        {
            var key = after.KeyIn(List, 2);
            var kindBefore = KindIn(key[0]);
            listed = listed.Where(alias => IsAfter(alias, kindBefore, key[1]));
        }
        var rows = listed.Take(pageSize + 1).Select(Stored).ToList();
        return rows.Count <= pageSize
            ? new Page<StoredAlias>(rows, null)
            : new Page<StoredAlias>(rows[..pageSize], PageToken.After(
                List, Words.Of(rows[pageSize - 1].Kind), rows[pageSize - 1].Alternate));
    }

    /// <summary>All aliases, for reading questions as records are read.</summary>
    /// <param name="asOfRecordTime">As they stood at this instant, UTC; null for as they stand.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<AliasTable> ReadAsync(DateTimeOffset? asOfRecordTime, CancellationToken cancellation) =>
        _reader.ReadAsync(_organisation, asOfRecordTime, cancellation);

    private static AliasKind KindIn(string word) =>
        Enum.GetValues<AliasKind>().Where(known => Words.Of(known) == word).Cast<AliasKind?>().FirstOrDefault()
        ?? throw new PageTokenException();

    private static bool IsAfter(AliasChange alias, AliasKind kind, string alternate) =>
        alias.Kind > kind || (alias.Kind == kind && string.CompareOrdinal(alias.Alternate, alternate) > 0);

    private string Id(AliasChange alias) => EventIdentity.AliasId(_organisation, alias.Kind, alias.Alternate);

    private StoredAlias Stored(AliasChange alias) => new(
        Id(alias), alias.Kind, alias.Alternate, alias.Primary!, alias.RecordTime, RevisionAt(alias.Position));

    private Revision RevisionAt(long position) => new(_organisation, position, 0);

    /// <summary>One change of aliases at a time, and no other new streams meanwhile.</summary>
    private Task LockAsync(NpgsqlConnection connection, CancellationToken cancellation) =>
        StreamCreation.LockAsync(connection, _database, _organisation, cancellation);

    private async Task<AliasChange> WriteAsync(
        NpgsqlTransaction transaction, AliasKind kind, string alternate, string? primary, object changed,
        CancellationToken cancellation)
    {
        var id = EventIdentity.AliasId(_organisation, kind, alternate);
        var position = await LogChange.AppendAsync(
            _documents, transaction, _organisation, AliasStream.Of(id), changed, cancellation);
        await using var command = new NpgsqlCommand(
            $"""
            insert into {_database.Schema}.alias_change
              (organisation, position, alias, kind, alternate, primary_name, record_time)
            select $1, seq_id, $3, $4, $5, $6, timestamp from {_database.Schema}.mt_events where seq_id = $2
            returning record_time
            """,
            transaction.Connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = _organisation },
                new NpgsqlParameter<long> { TypedValue = position },
                new NpgsqlParameter<string> { TypedValue = id },
                new NpgsqlParameter<string> { TypedValue = Words.Of(kind) },
                new NpgsqlParameter<string> { TypedValue = alternate },
                new NpgsqlParameter<string?> { TypedValue = primary },
            },
        };
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        await reader.ReadAsync(cancellation);
        return new AliasChange(kind, alternate, primary, position, reader.GetFieldValue<DateTimeOffset>(0));
    }
}
