using System.Runtime.CompilerServices;
using System.Text.Json;
using Npgsql;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Paging;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Lives;

/// <summary>Lives of cohorts.</summary>
public sealed class LifeQueries
{
    private const string List = "lives";

    private readonly string _organisation;
    private readonly Database _database;
    private readonly Derivation _derivation;
    private readonly RecordReader _records;

    internal LifeQueries(string organisation, Database database)
    {
        (_organisation, _database) = (organisation, database);
        (_derivation, _records) = (new Derivation(database), new RecordReader(database));
    }

    /// <summary>
    /// The lives that a filter selects, excluded and flagged ones among them, in order of module and number. Without
    /// options they are the stored ones; with options they are derived anew from the records.
    /// </summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="options">Cut-off, policy and choices; null or the default view reads the stored lives.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public IAsyncEnumerable<StoredLife> ReadAsync(
        LifeFilter filter, DerivationOptions? options, CancellationToken cancellation) =>
        IsDefault(options) ? ReadStoredAsync(filter, cancellation) : DeriveAsync(filter, options!, cancellation);

    /// <summary>A page of stored lives in order of module and number.</summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="includedOnly">Leave excluded lives out.</param>
    /// <param name="pageSize">At most this many, 1 or more.</param>
    /// <param name="after">Where the page begins; null for the first.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="ArgumentException">The token belongs to another list.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Page<StoredLife>> ListAsync(
        LifeFilter filter, bool includedOnly, int pageSize, PageToken? after, CancellationToken cancellation)
    {
        var conditions = Conditions(filter);
        if (includedOnly) conditions.Add("exclusion is null");
        if (after is not null)
        {
            var key = after.KeyIn(List, 2);
            conditions.Add("module >= {0}", key[0]);
            conditions.Add(
                $"(module > ${conditions.Parameters.Count} or number > {{0}})",
                int.Parse(key[1], System.Globalization.CultureInfo.InvariantCulture));
        }
        var rows = await _database.ReadAsync(
            Select(conditions) + $" limit {pageSize + 1}", conditions.Parameters, Row, cancellation);
        if (rows.Count <= pageSize) return new Page<StoredLife>(rows, null);
        var last = rows[pageSize - 1].Life;
        return new Page<StoredLife>(
            rows[..pageSize],
            PageToken.After(
                List, last.ModuleId, last.Number.ToString(System.Globalization.CultureInfo.InvariantCulture)));
    }

    /// <summary>How many stored lives of a cohort are excluded, by reason, in order of reason.</summary>
    /// <param name="filter">Which lives.</param>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<IReadOnlyList<(LifeExclusion Reason, long LifeCount)>> CountExcludedAsync(
        LifeFilter filter, CancellationToken cancellation)
    {
        var conditions = Conditions(filter);
        conditions.Add("exclusion is not null");
        var byWord = Enum.GetValues<LifeExclusion>().ToDictionary(Words.Of);
        var rows = await _database.ReadAsync(
            $"select exclusion, count(*) from {_database.Schema}.lives where {conditions.Sql} group by exclusion",
            conditions.Parameters,
            reader => (Reason: byWord[reader.GetString(0)], LifeCount: reader.GetInt64(1)),
            cancellation);
        rows.Sort((one, other) => one.Reason.CompareTo(other.Reason));
        return rows;
    }

    private static bool IsDefault(DerivationOptions? options) =>
        options is null
        || (options.DataCutoffTime is null
            && options.UnknownRenewalRenews is null
            && options.FailureMode is null
            && Enum.GetValues<RemovalReason>().All(
                reason => options.OutcomePolicy.On(reason) == OutcomePolicy.Default.On(reason))
            && options.OutcomePolicy.UnmeasuredLowOutput == OutcomePolicy.Default.UnmeasuredLowOutput);

    private IAsyncEnumerable<StoredLife> ReadStoredAsync(LifeFilter filter, CancellationToken cancellation)
    {
        var conditions = Conditions(filter);
        return _database.StreamAsync(Select(conditions), conditions.Parameters, Row, cancellation);
    }

    private async IAsyncEnumerable<StoredLife> DeriveAsync(
        LifeFilter filter, DerivationOptions options, [EnumeratorCancellation] CancellationToken cancellation)
    {
        await foreach (var chunk in ModulesAsync(filter, cancellation).Chunk(RecordReader.Chunk))
        {
            var derived = await _derivation.DeriveAsync(_organisation, chunk, options, cancellation);
            foreach (var record in derived.OrderBy(record => record.Record.ModuleId, StringComparer.Ordinal))
                foreach (var life in record.Derived.Lives.Where(filter.Matches))
                    yield return new StoredLife(life, record.Revision(_organisation));
        }
    }

    /// <summary>
    /// The modules that can have lives the filter selects. Other options give lives other numbers, conditions and
    /// sites, but never a module or a model that its record does not name.
    /// </summary>
    private IAsyncEnumerable<string> ModulesAsync(LifeFilter filter, CancellationToken cancellation)
    {
        var conditions = new QueryConditions(_organisation);
        conditions.AddAny("module", filter.Modules);
        if (filter.Models.Count > 0) conditions.Add("models_named && {0}", filter.Models.ToArray());
        return _database.StreamAsync(
            $"select module from {_database.Schema}.module_state where {conditions.Sql} order by module",
            conditions.Parameters, reader => reader.GetString(0), cancellation);
    }

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
