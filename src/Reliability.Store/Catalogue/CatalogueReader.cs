using System.Globalization;
using System.Text.Json;
using Npgsql;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Catalogue;

/// <summary>Reads module models out of the catalogue, as it stands or as it stood.</summary>
internal sealed class CatalogueReader(Database database)
{
    private const string Columns = "model, version, position, create_time, update_time, body";

    /// <summary>These models, by id; unknown ids are left out. Null asks for all.</summary>
    public async Task<IReadOnlyDictionary<string, StoredModuleModel>> ReadAsync(
        string organisation, IReadOnlyCollection<string>? models, CancellationToken cancellation)
    {
        if (models is { Count: 0 }) return new Dictionary<string, StoredModuleModel>();
        var rows = await database.ReadAsync(
            $"""
            select {Columns} from {database.Schema}.module_model
            where organisation = $1 and ($2::text[] is null or model = any($2))
            """,
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]?> { TypedValue = models is null ? null : [.. models] },
            ],
            reader => Row(organisation, reader),
            cancellation);
        return rows.ToDictionary(row => row.Model.Id, StringComparer.Ordinal);
    }

    /// <summary>
    /// The same as the catalogue stood at an instant: models that were there by then, with the versions recorded by then.
    /// Null asks for it as it stands.
    /// </summary>
    public async Task<IReadOnlyDictionary<string, StoredModuleModel>> ReadAsync(
        string organisation, IReadOnlyCollection<string>? models, DateTimeOffset? asOfRecordTime,
        CancellationToken cancellation)
    {
        if (asOfRecordTime is not { } asOf) return await ReadAsync(organisation, models, cancellation);
        if (models is { Count: 0 }) return new Dictionary<string, StoredModuleModel>();
        // The n-th event of a model's stream recorded the n-th of its versions.
        var rows = await database.ReadAsync(
            $"""
            select model, max(recorded.version), max(seq_id), min(timestamp), max(timestamp), body,
              array_agg(recorded.version order by recorded.version)
            from {database.Schema}.module_model join {database.Schema}.mt_events recorded
              on tenant_id = organisation and stream_id = '{CatalogueStream.Prefix}' || model
            where organisation = $1 and ($2::text[] is null or model = any($2)) and timestamp <= $3
            group by organisation, model
            """,
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]?> { TypedValue = models is null ? null : [.. models] },
                new NpgsqlParameter<DateTimeOffset> { TypedValue = asOf.ToUniversalTime() },
            ],
            reader => (Stored: Row(organisation, reader), Versions: reader.GetFieldValue<long[]>(6)),
            cancellation);
        return rows.Select(row => row.Stored with
        {
            Model = row.Stored.Model with
            {
                Versions = [.. row.Versions.Select(version => row.Stored.Model.Versions[(int)version - 1])],
            },
        }).ToDictionary(stored => stored.Model.Id, StringComparer.Ordinal);
    }

    /// <summary>A page in order of id.</summary>
    public Task<List<StoredModuleModel>> PageAsync(
        string organisation, string after, int size, CancellationToken cancellation) =>
        database.ReadAsync(
            $"""
            select {Columns} from {database.Schema}.module_model
            where organisation = $1 and model > $2 order by model limit $3
            """,
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string> { TypedValue = after },
                new NpgsqlParameter<int> { TypedValue = size },
            ],
            reader => Row(organisation, reader),
            cancellation);

    /// <summary>One model, its row locked until the transaction ends; null when there is none.</summary>
    public async Task<StoredModuleModel?> LockAsync(
        NpgsqlConnection connection, string organisation, string model, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(
            $"""
            select {Columns} from {database.Schema}.module_model
            where organisation = $1 and model = $2 for update
            """,
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string> { TypedValue = model },
            },
        };
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        return await reader.ReadAsync(cancellation) ? Row(organisation, reader) : null;
    }

    internal static string Etag(long version) => version.ToString(CultureInfo.InvariantCulture);

    private static StoredModuleModel Row(string organisation, NpgsqlDataReader reader)
    {
        var position = reader.GetInt64(2);
        return new StoredModuleModel(
            JsonSerializer.Deserialize(reader.GetFieldValue<byte[]>(5), StoreJsonContext.Default.ModuleModel)!,
            Etag(reader.GetInt64(1)),
            reader.GetFieldValue<DateTimeOffset>(3),
            reader.GetFieldValue<DateTimeOffset>(4),
            new Revision(organisation, position, position));
    }
}
