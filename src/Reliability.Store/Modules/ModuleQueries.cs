using System.Runtime.CompilerServices;
using System.Text.Json;
using Npgsql;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using Reliability.History.Lives;
using Reliability.Store.Lives;
using Reliability.Store.Notes;
using Reliability.Store.Paging;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Modules;

/// <summary>Modules, their state and their records.</summary>
public sealed class ModuleQueries
{
    private const string ModuleList = "modules";
    private const string EventList = "module-events";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly Derivation _derivation;
    private readonly NoteStore _notes;

    internal ModuleQueries(string organisation, Database database, NoteStore notes) =>
        (_organisation, _database, _derivation, _notes) = (organisation, database, new Derivation(database), notes);

    /// <summary>
    /// A module's record and all that follows from it, derived at the moment of asking: every event that has a receipt
    /// is in.
    /// </summary>
    /// <param name="module">Id of the module.</param>
    /// <param name="options">Cut-off, policy and choices; null for the default view.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <returns>The module, or null when nothing is on record of it.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<ModuleHistory?> GetAsync(
        string module, DerivationOptions? options, CancellationToken cancellation) =>
        await DeriveAsync(module, options, cancellation) is { } derived ? derived.ToHistory(_organisation) : null;

    /// <summary>The records of modules and what follows from them, one after the other in order of id.</summary>
    /// <param name="filter">Which modules, by their stored state.</param>
    /// <param name="options">Cut-off, policy and choices; null for the default view.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async IAsyncEnumerable<ModuleHistory> ReadAsync(
        ModuleFilter filter, DerivationOptions? options, [EnumeratorCancellation] CancellationToken cancellation)
    {
        // A chunk of ids at a time: a caller that takes its time between modules holds no connection.
        var after = "";
        while (true)
        {
            var conditions = Conditions(filter);
            conditions.Add("module > {0}", after);
            var chunk = await _database.ReadAsync(
                $"""
                select module from {_database.Schema}.module_state
                where {conditions.Sql} order by module limit {RecordReader.Chunk}
                """,
                conditions.Parameters, reader => reader.GetString(0), cancellation);
            var derived = await _derivation.DeriveAsync(_organisation, chunk, options, cancellation);
            foreach (var record in derived.OrderBy(record => record.Record.ModuleId, StringComparer.Ordinal))
                yield return record.ToHistory(_organisation);
            if (chunk.Count < RecordReader.Chunk) yield break;
            after = chunk[^1];
        }
    }

    /// <summary>A page of modules in order of id, as stored.</summary>
    /// <param name="filter">Which modules.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="ArgumentException">The token belongs to another list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredModule>> ListAsync(
        ModuleFilter filter, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var conditions = Conditions(filter);
        if (after is not null) conditions.Add("module > {0}", after.KeyIn(ModuleList, 1)[0]);
        var rows = await _database.ReadAsync(
            $"""
            select summary, position, catalogue_version from {_database.Schema}.module_state
            where {conditions.Sql} order by module limit {pageSize + 1}
            """,
            conditions.Parameters, Row, cancellation);
        return rows.Count > pageSize
            ? new Page<StoredModule>(
                rows[..pageSize], PageToken.After(ModuleList, rows[pageSize - 1].Summary.Module.ModuleId))
            : new Page<StoredModule>(rows, null);
    }

    /// <summary>
    /// A page of a module's record in the order in which its events count, with retracted and unresolved events.
    /// </summary>
    /// <param name="module">Id of the module.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <returns>The page, or null when nothing is on record of the module.</returns>
    /// <exception cref="ArgumentException">The token belongs to another list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<EventInRecord>?> ListEventsAsync(
        string module, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var derived = await DeriveAsync(module, options: null, cancellation);
        if (derived is null) return null;
        var byId = derived.Stored.Events.ToDictionary(stored => stored.Event.EventId);
        var erased = await _notes.ErasedAsync(
            byId.Values.Select(stored => stored.Event.ModuleId).Distinct(StringComparer.Ordinal), cancellation);
        var statuses = derived.Derived.Events;
        var start = after is null ? 0 : 1 + Place(statuses, after.KeyIn(EventList, 1)[0]);
        var page = statuses.Skip(start).Take(pageSize).Select(status => new EventInRecord(
            byId[status.EventId].Event,
            status,
            status.RelatedEventId is { } related && byId.TryGetValue(related, out var other) ? other.Event : null,
            erased.TryGetValue(status.EventId, out var note) ? note.EraseTime : null,
            new Revision(_organisation, byId[status.EventId].Position, derived.CatalogueVersion))).ToList();
        return new Page<EventInRecord>(
            page,
            start + page.Count < statuses.Count
                ? PageToken.After(EventList, page[^1].Event.EventId.ToString())
                : null);
    }

    /// <summary>The ids of modules that have an identifier.</summary>
    /// <param name="kind">Kind of the identifier.</param>
    /// <param name="value">The identifier as typed or scanned.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<IReadOnlyList<string>> FindByIdentifierAsync(
        IdentifierKind kind, string value, CancellationToken cancellation) =>
        await _database.ReadAsync(
            $"""
            select module from {_database.Schema}.module_identifier
            where organisation = $1 and kind = $2 and value = $3 order by module
            """,
            [
                new NpgsqlParameter<string> { TypedValue = _organisation },
                new NpgsqlParameter<string> { TypedValue = Words.Of(kind) },
                new NpgsqlParameter<string> { TypedValue = IdentifierText.Canonical(kind, value) },
            ],
            reader => reader.GetString(0),
            cancellation);

    private Task<DerivedRecord?> DeriveAsync(
        string module, DerivationOptions? options, CancellationToken cancellation) =>
        _derivation.DeriveLatestAsync(_organisation, module, options, cancellation);

    private static int Place(IReadOnlyList<EventStatus> statuses, string eventId)
    {
        for (var i = 0; i < statuses.Count; i++)
            if (statuses[i].EventId.ToString() == eventId) return i;
        throw new ArgumentException("The page token belongs to another list.");
    }

    private QueryConditions Conditions(ModuleFilter filter)
    {
        var conditions = new QueryConditions(_organisation);
        conditions.AddIf("model = {0}", filter.Model);
        conditions.AddIf("site = {0}", filter.Site);
        conditions.AddIf("host_device = {0}", filter.HostDevice);
        conditions.AddIf("host_model = {0}", filter.HostModel);
        conditions.AddIf("lot = {0}", filter.Lot);
        conditions.AddIf("refurbisher = {0}", filter.Refurbisher);
        if (filter.RefurbishmentCount is { } count) conditions.Add("refurbishment_count = {0}", count);
        if (filter.State is { } state) conditions.Add("state = {0}", Words.Of(state));
        AddIdentifier(IdentifierKind.Serial, filter.SerialNumber);
        AddIdentifier(IdentifierKind.Udi, filter.Udi);
        AddIdentifier(IdentifierKind.Asset, filter.AssetNumber);
        return conditions;

        void AddIdentifier(IdentifierKind kind, string? value) => conditions.AddIf(
            $"module in (select module from {_database.Schema}.module_identifier as known "
            + $"where known.organisation = $1 and kind = '{Words.Of(kind)}' and value = {{0}})",
            value is null ? null : IdentifierText.Canonical(kind, value));
    }

    private StoredModule Row(NpgsqlDataReader reader) => new(
        JsonSerializer.Deserialize(reader.GetFieldValue<byte[]>(0), StoreJsonContext.Default.ModuleSummary)!,
        new Revision(_organisation, reader.GetInt64(1), reader.GetInt64(2)));
}
