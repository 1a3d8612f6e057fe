using System.Text.Json;
using Marten;
using Npgsql;
using NpgsqlTypes;
using Reliability.History.Aliases;
using Reliability.History.Catalogue;
using Reliability.Store.Aliases;
using Reliability.Store.Paging;
using Reliability.Store.Records;

namespace Reliability.Store.Catalogue;

/// <summary>
/// The module models of an organisation. Every change is an event on the model's own stream; the table of models is
/// written in the same transaction, so that an answer shows a change as soon as it is made.
/// </summary>
public sealed class CatalogueStore
{
    private const string List = "module-models";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly IDocumentStore _documents;
    private readonly CatalogueReader _reader;
    private readonly AliasReader _aliases;

    internal CatalogueStore(string organisation, Database database, IDocumentStore documents)
    {
        (_organisation, _database, _documents) = (organisation, database, documents);
        _reader = new CatalogueReader(database);
        _aliases = new AliasReader(database);
    }

    /// <summary>Adds a module model.</summary>
    /// <param name="id">Its id: 1 to 63 of a-z, 0-9 and hyphen.</param>
    /// <param name="values">Its first values, which hold from the beginning.</param>
    /// <param name="cancellation">Ends the call.</param>
    /// <returns>Stored, or already exists.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<CatalogueOutcome> CreateAsync(
        string id, ModuleModelVersion values, CancellationToken cancellation) =>
        ChangeAsync(async transaction =>
        {
            await StreamCreation.LockAsync(transaction.Connection!, _database, _organisation, cancellation);
            if (await _reader.LockAsync(transaction.Connection!, _organisation, id, cancellation) is { } there)
                return new CatalogueOutcome.AlreadyExists(there);
            var model = new ModuleModel { Id = id, Versions = [values] };
            return await AppendAsync(transaction, model, new ModuleModelCreatedV1 { Values = values }, 1, cancellation);
        }, cancellation);

    /// <summary>Changes a module model. Old values stay in its stream.</summary>
    /// <param name="id">Its id.</param>
    /// <param name="values">All its values from their effective time on, changed or not.</param>
    /// <param name="etag">The etag that the change rests on; null changes whatever stands.</param>
    /// <param name="cancellation">Ends the call.</param>
    /// <returns>Stored, not found, or conflict when the etag is no longer that of the model.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<CatalogueOutcome> UpdateAsync(
        string id, ModuleModelVersion values, string? etag, CancellationToken cancellation) =>
        ChangeAsync(async transaction =>
        {
            var there = await _reader.LockAsync(transaction.Connection!, _organisation, id, cancellation);
            if (there is null) return new CatalogueOutcome.NotFound();
            if (etag is not null && etag != there.Etag) return new CatalogueOutcome.Conflict(there);
            var model = there.Model with { Versions = [.. there.Model.Versions, values] };
            return await AppendAsync(
                transaction, model, new ModuleModelUpdatedV1 { Values = values }, model.Versions.Count, cancellation);
        }, cancellation);

    /// <summary>A module model; null when there is none with this id.</summary>
    /// <param name="id">Its id.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<StoredModuleModel?> GetAsync(string id, CancellationToken cancellation) =>
        (await _reader.ReadAsync(_organisation, [id], cancellation)).GetValueOrDefault(id);

    /// <summary>A page of module models in order of id.</summary>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="PageTokenException">The token is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredModuleModel>> ListAsync(
        int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var rows = await _reader.PageAsync(
            _organisation, after?.KeyIn(List, 1)[0] ?? "", pageSize + 1, cancellation);
        return rows.Count > pageSize
            ? new Page<StoredModuleModel>(rows[..pageSize], PageToken.After(List, rows[pageSize - 1].Model.Id))
            : new Page<StoredModuleModel>(rows, null);
    }

    /// <summary>The whole catalogue, for deriving lives: with primary spellings, as records are read.</summary>
    /// <param name="asOfRecordTime">As it stood at this instant, UTC; null for as it stands.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<ModuleCatalogue> ReadAsync(DateTimeOffset? asOfRecordTime, CancellationToken cancellation)
    {
        var aliases = await _aliases.ReadAsync(_organisation, asOfRecordTime, cancellation);
        return new ModuleCatalogue((await _reader.ReadAsync(_organisation, models: null, asOfRecordTime, cancellation))
            .Values.Select(stored => RecordAliases.Read(stored.Model, aliases)));
    }

    private Task<CatalogueOutcome> ChangeAsync(
        Func<NpgsqlTransaction, Task<CatalogueOutcome>> change, CancellationToken cancellation) =>
        LogChange.DoAsync(_database, change, outcome => outcome is CatalogueOutcome.Stored, cancellation);

    private async Task<CatalogueOutcome> AppendAsync(
        NpgsqlTransaction transaction, ModuleModel model, object changed, long version, CancellationToken cancellation)
    {
        var position = await LogChange.AppendAsync(
            _documents, transaction, _organisation, CatalogueStream.Of(model.Id), changed, cancellation);

        var body = JsonSerializer.SerializeToUtf8Bytes(model, StoreJsonContext.Default.ModuleModel);
        await using var command = new NpgsqlCommand(
            $"""
            insert into {_database.Schema}.module_model
              (organisation, model, version, position, create_time, update_time, body)
            select $1, $2, $3, $4, timestamp, timestamp, $5
            from {_database.Schema}.mt_events where seq_id = $4
            on conflict (organisation, model) do update set
              version = excluded.version, position = excluded.position,
              update_time = excluded.update_time, body = excluded.body
            returning create_time, update_time
            """,
            transaction.Connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = _organisation },
                new NpgsqlParameter<string> { TypedValue = model.Id },
                new NpgsqlParameter<long> { TypedValue = version },
                new NpgsqlParameter<long> { TypedValue = position },
                new NpgsqlParameter<byte[]> { TypedValue = body, NpgsqlDbType = NpgsqlDbType.Json },
            },
        };
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        await reader.ReadAsync(cancellation);
        return new CatalogueOutcome.Stored(new StoredModuleModel(
            model,
            CatalogueReader.Etag(version),
            reader.GetFieldValue<DateTimeOffset>(0),
            reader.GetFieldValue<DateTimeOffset>(1),
            new Revisions.Revision(_organisation, position, position)));
    }
}
