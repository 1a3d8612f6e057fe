using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text.Json;
using Npgsql;
using Reliability.History.Catalogue;
using Reliability.History.Lives;
using Reliability.Store.Aliases;
using Reliability.Store.Paging;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Lives;

/// <summary>Lives of cohorts.</summary>
public sealed class LifeQueries
{
    private const string List = "lives";

    // Life.Counts, as a condition on rows.
    private const string Counts = "exclusion is null and outcome is not null", NotFlagged = "not flagged";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly Derivation _derivation;
    private readonly AliasReader _aliases;

    internal LifeQueries(string organisation, Database database)
    {
        (_organisation, _database) = (organisation, database);
        (_derivation, _aliases) = (new Derivation(database), new AliasReader(database));
    }

    /// <summary>
    /// The lives that a filter selects, excluded and flagged ones among them, in order of module and number. In the present
    /// view they are the stored ones, as they stood at one moment; in another they are derived anew from the records.
    /// </summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public IAsyncEnumerable<StoredLife> ReadAsync(LifeFilter filter, RecordView? view, CancellationToken cancellation) =>
        ReadAsync(filter, view, "true", cancellation);

    /// <summary>What samples take of the lives that a filter selects in the present view, in order of module and number.</summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="take">Takes them one after the other, excluded and flagged ones among them.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task ReadForSampleAsync(LifeFilter filter, Action<LifeInSample> take, CancellationToken cancellation)
    {
        var conditions = Conditions(await PrimaryAsync(filter, null, cancellation));
        await _database.ForEachAsync(
            $"select {SampleRow.Columns} from {_database.Schema}.lives where {conditions.Sql} order by module, number",
            conditions.Parameters, reader => take(SampleRow.Read(reader)), cancellation);
    }

    /// <summary>
    /// A mark that each change of the organisation's lives replaces and that never comes back. Read before the lives, it says of them
    /// that they are the same while it is the same.
    /// </summary>
    /// <param name="cancellation">Ends the query.</param>
    /// <returns>The mark; null before the first change.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<Guid?> VersionAsync(CancellationToken cancellation) => LivesVersion.ReadAsync(_database, _organisation, cancellation);

    /// <summary>
    /// Of the lives that a filter selects those that do not enter samples, or only when flagged ones are asked for. In
    /// another view than the present one the others may be among them.
    /// </summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public IAsyncEnumerable<StoredLife> ReadNotCountingAsync(
        LifeFilter filter, RecordView? view, CancellationToken cancellation) =>
        ReadAsync(filter, view, $"not ({Counts} and {NotFlagged})", cancellation);

    /// <summary>
    /// A page of lives in order of module and number. In another view than the present one, only the records of the page's
    /// modules are derived, and of those that the filter passed over to fill it.
    /// </summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="view">Which state of the record, and how lives are derived; null for the present view.</param>
    /// <param name="listed">Which of them are listed.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="PageTokenException">The token is none of this list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredLife>> ListAsync(
        LifeFilter filter, RecordView? view, LivesListed listed, int pageSize, PageToken? after,
        CancellationToken cancellation)
    {
        filter = await PrimaryAsync(filter, view, cancellation);
        var (module, number) = after?.KeyIn(List, 2) is [var id, var text]
            ? (id, PageToken.Number(text))
            : ("", 0);
        var rows = view is { IsStored: false }
            ? await DerivedPageAsync(filter, view, listed, pageSize, module, number, cancellation)
            : await StoredPageAsync(filter, listed, pageSize, module, number, cancellation);
        if (rows.Count <= pageSize) return new Page<StoredLife>(rows, null);
        var last = rows[pageSize - 1].Life;
        return new Page<StoredLife>(
            rows[..pageSize],
            PageToken.After(List, last.ModuleId, last.Number.ToString(CultureInfo.InvariantCulture)));
    }

    private async IAsyncEnumerable<StoredLife> ReadAsync(
        LifeFilter filter, RecordView? view, string storedCondition, [EnumeratorCancellation] CancellationToken cancellation)
    {
        filter = await PrimaryAsync(filter, view, cancellation);
        var conditions = Conditions(filter);
        conditions.Add(storedCondition);
        await foreach (var life in view is { IsStored: false }
            ? DeriveAsync(filter, view, from: "", RecordReader.Chunk, cancellation)
            : _database.StreamAsync(Select(conditions), conditions.Parameters, Row, cancellation))
            yield return life;
    }

    private Task<List<StoredLife>> StoredPageAsync(
        LifeFilter filter, LivesListed listed, int pageSize, string module, int number, CancellationToken cancellation)
    {
        var conditions = Conditions(filter);
        if (listed != LivesListed.All) conditions.Add(Counts);
        if (listed == LivesListed.Counting) conditions.Add(NotFlagged);
        if (module.Length > 0)
        {
            conditions.Add("module >= {0}", module);
            conditions.Add($"(module > ${conditions.Parameters.Count} or number > {{0}})", number);
        }
        return _database.ReadAsync(
            Select(conditions) + $" limit {pageSize + 1}", conditions.Parameters, Row, cancellation);
    }

    private async Task<List<StoredLife>> DerivedPageAsync(
        LifeFilter filter, RecordView view, LivesListed listed, int pageSize, string module, int number,
        CancellationToken cancellation)
    {
        var rows = new List<StoredLife>();
        await foreach (var stored in DeriveAsync(filter, view, module, pageSize + 1, cancellation))
        {
            var life = stored.Life;
            if (life.ModuleId == module && life.Number <= number) continue;
            if (listed != LivesListed.All && !life.Counts(listed == LivesListed.CountingOrFlagged)) continue;
            rows.Add(stored);
            if (rows.Count > pageSize) break;
        }
        return rows;
    }

    private async IAsyncEnumerable<StoredLife> DeriveAsync(
        LifeFilter filter, RecordView view, string from, int chunk, [EnumeratorCancellation] CancellationToken cancellation)
    {
        var everJoined = !(await _aliases.ReadAsync(_organisation, cancellation)).IsEmpty;
        var scan = _derivation.ScanAsync(
            _organisation, () => ModulesThatCanHave(filter, view.AsOfRecordTime is not null && everJoined), from, chunk, view,
            cancellation);
        await foreach (var record in scan)
            foreach (var life in record.Derived.Lives.Where(filter.Matches))
                yield return new StoredLife(life, record.Revision(_organisation));
    }

    /// <summary>
    /// The modules that can have lives the filter selects. Another view gives lives other numbers, conditions and sites,
    /// but never a module or a model that its whole record does not name. As of an instant when other ids may have been
    /// joined than are now, rows of the present do not say what was one module then.
    /// </summary>
    private QueryConditions ModulesThatCanHave(LifeFilter filter, bool otherwiseJoined)
    {
        var conditions = new QueryConditions(_organisation);
        conditions.AddAny("module", filter.Modules);
        if (otherwiseJoined) return conditions;
        conditions.Add("joined_to is null");
        if (filter.Models.Count > 0) conditions.Add("models_named && {0}", filter.Models.ToArray());
        return conditions;
    }

    private async Task<LifeFilter> PrimaryAsync(LifeFilter filter, RecordView? view, CancellationToken cancellation) =>
        filter.Under(await _aliases.ReadAsync(_organisation, view?.AsOfRecordTime, cancellation));

    private string Select(QueryConditions conditions) =>
        $"""
        select life, position, catalogue_version from {_database.Schema}.lives
        where {conditions.Sql} order by module, number
        """;

    private QueryConditions Conditions(LifeFilter filter)
    {
        var conditions = new QueryConditions(_organisation);
        conditions.AddAny("module", filter.Modules);
        conditions.AddAny("model", filter.Models);
        if (filter.ConditionClass == ConditionClass.New) conditions.Add("refurbishment_count = 0");
        if (filter.ConditionClass == ConditionClass.Refurbished) conditions.Add("refurbishment_count > 0");
        conditions.AddAny("refurbishment_count", filter.RefurbishmentCounts);
        conditions.AddAny("refurbisher", filter.Refurbishers);
        conditions.AddAny("site", filter.Sites);
        conditions.AddAny("host_model", filter.HostModels);
        conditions.AddAny("lot", filter.Lots);
        if (filter.EarliestStartTime is { } earliest) conditions.Add("start_time >= {0}", earliest.ToUniversalTime());
        if (filter.LatestStartTime is { } latest) conditions.Add("start_time < {0}", latest.ToUniversalTime());
        return conditions;
    }

    private StoredLife Row(NpgsqlDataReader reader) => new(
        JsonSerializer.Deserialize(reader.GetFieldValue<byte[]>(0), StoreJsonContext.Default.Life)!,
        new Revision(_organisation, reader.GetInt64(1), reader.GetInt64(2)));
}
