using System.Runtime.CompilerServices;
using System.Text.Json;
using Npgsql;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using Reliability.History.Lives;
using Reliability.Store.Aliases;
using Reliability.Store.Lives;
using Reliability.Store.Notes;
using Reliability.Store.Paging;
using Reliability.Store.Records;
using Reliability.Store.Revisions;
using Reliability.Store.Schema;

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
    private readonly AliasReader _aliases;

    internal ModuleQueries(string organisation, Database database, NoteStore notes)
    {
        (_organisation, _database, _notes) = (organisation, database, notes);
        (_derivation, _aliases) = (new Derivation(database), new AliasReader(database));
    }

    /// <summary>
    /// A module's record and all that follows from it, derived at the moment of asking: every event that has a receipt
    /// is in.
    /// </summary>
    /// <param name="module">Id of the module.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <returns>The module, or null when nothing is on record of it.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<ModuleHistory?> GetAsync(
        string module, RecordView? view, CancellationToken cancellation) =>
        await DeriveAsync(module, view, cancellation) is { } derived ? derived.ToHistory(_organisation) : null;

    /// <summary>The records of modules and what follows from them, one after the other in order of id.</summary>
    /// <param name="filter">Which modules, by their state in the view.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public IAsyncEnumerable<ModuleHistory> ReadAsync(
        ModuleFilter filter, RecordView? view, CancellationToken cancellation) =>
        ScanAsync(filter, view ?? RecordView.Present, from: "", RecordReader.Chunk, cancellation);

    /// <summary>
    /// A page of modules in order of id. In the present view it is read from the stored states; in another, records are
    /// derived until the page is full, those of modules that the filter passes over too.
    /// </summary>
    /// <param name="filter">Which modules, by their state in the view.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="PageTokenException">The token is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredModule>> ListAsync(
        ModuleFilter filter, RecordView? view, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var last = after?.KeyIn(ModuleList, 1)[0] ?? "";
        filter = await PrimaryAsync(filter, view, cancellation);
        var rows = view is { IsStored: false }
            ? await ScanAsync(filter, view, last, pageSize + 1, cancellation)
                .Where(history => history.Record.ModuleId != last)
                .Select(history => history.Summarise())
                .Take(pageSize + 1).ToListAsync(cancellation)
            : await StoredPageAsync(filter, pageSize, last, cancellation);
        return rows.Count > pageSize
            ? new Page<StoredModule>(
                rows[..pageSize], PageToken.After(ModuleList, rows[pageSize - 1].Summary.Module.ModuleId))
            : new Page<StoredModule>(rows, null);
    }

    /// <summary>
    /// A page of a module's record in the order in which its events count, with retracted and unresolved events.
    /// </summary>
    /// <param name="module">Id of the module.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <returns>The page, or null when nothing is on record of the module.</returns>
    /// <exception cref="PageTokenException">The token is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<EventInRecord>?> ListEventsAsync(
        string module, RecordView? view, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var derived = await DeriveAsync(module, view, cancellation);
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

    private Task<DerivedRecord?> DeriveAsync(string module, RecordView? view, CancellationToken cancellation) =>
        _derivation.DeriveLatestAsync(_organisation, module, view ?? RecordView.Present, cancellation);

    /// <summary>
    /// Stored states say what the filter selects in the present view. In another one a module may have had another state,
    /// site or condition, and what is derived has to say it; but never a model that its whole record does not name.
    /// </summary>
    private async IAsyncEnumerable<ModuleHistory> ScanAsync(
        ModuleFilter filter, RecordView view, string from, int chunk, [EnumeratorCancellation] CancellationToken cancellation)
    {
        filter = await PrimaryAsync(filter, view, cancellation);
        var everJoined = !(await _aliases.ReadAsync(_organisation, cancellation)).IsEmpty;
        var scan = _derivation.ScanAsync(
            _organisation,
            () => view.IsStored
                ? Conditions(filter)
                : ModulesThatCanMatch(filter, view.AsOfRecordTime is not null && everJoined),
            from, chunk, view, cancellation);
        await foreach (var record in scan)
            if (view.IsStored || filter.Matches(record.Derived))
                yield return record.ToHistory(_organisation);
    }

    // As of an instant when other ids may have been joined than are now, rows of the present do not say what was one module.
    private QueryConditions ModulesThatCanMatch(ModuleFilter filter, bool otherwiseJoined)
    {
        var conditions = new QueryConditions(_organisation);
        if (otherwiseJoined) return conditions;
        conditions.Add("joined_to is null");
        if (filter.Model is { } model) conditions.Add("models_named @> {0}", new[] { model });
        return conditions;
    }

    private Task<List<StoredModule>> StoredPageAsync(
        ModuleFilter filter, int pageSize, string after, CancellationToken cancellation)
    {
        var conditions = Conditions(filter);
        conditions.Add("module > {0}", after);
        return _database.ReadAsync(
            $"""
            select summary, position, catalogue_version from {_database.Schema}.module_state
            where {conditions.Sql} order by module limit {pageSize + 1}
            """,
            conditions.Parameters, Row, cancellation);
    }

    /// <summary>The same filter with primary spellings in the place of others.</summary>
    private async Task<ModuleFilter> PrimaryAsync(ModuleFilter filter, RecordView? view, CancellationToken cancellation)
    {
        var aliases = await _aliases.ReadAsync(_organisation, view?.AsOfRecordTime, cancellation);
        return filter with
        {
            Site = aliases.PrimaryOrNull(AliasKind.Site, filter.Site),
            HostModel = aliases.PrimaryOrNull(AliasKind.HostModel, filter.HostModel),
            Refurbisher = aliases.PrimaryOrNull(AliasKind.Refurbisher, filter.Refurbisher),
        };
    }

    private static int Place(IReadOnlyList<EventStatus> statuses, string eventId)
    {
        for (var i = 0; i < statuses.Count; i++)
            if (statuses[i].EventId.ToString() == eventId) return i;
        throw new PageTokenException();
    }

    private QueryConditions Conditions(ModuleFilter filter)
    {
        var conditions = new QueryConditions(_organisation);
        conditions.Add("joined_to is null");
        conditions.AddIf("model = {0}", filter.Model);
        conditions.AddIf("site = {0}", filter.Site);
        conditions.AddIf("host_device = {0}", filter.HostDevice);
        conditions.AddIf("host_model = {0}", filter.HostModel);
        conditions.AddIf("lot = {0}", filter.Lot);
        conditions.AddIf("refurbisher = {0}", filter.Refurbisher);
        if (filter.RefurbishmentCount is { } count) conditions.Add("refurbishment_count = {0}", count);
        if (filter.LeaveOutRetired) conditions.Add(StoreSchema.NotRetired);
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
