using Npgsql;

namespace Reliability.Store.Records;

/// <summary>Makes streams ready for an append in a transaction.</summary>
internal static class StreamPreparation
{
    /// <summary>
    /// Waits for its turn to make streams when some are missing, then locks those that exist, in order. Never the other way
    /// round: who held a stream and waited for the turn could meet one that has the turn and waits for the stream. Brings
    /// archived streams back: a late event is never lost.
    /// </summary>
    public static async Task PrepareAsync(
        NpgsqlConnection connection, Database database, string organisation, IEnumerable<string> streams)
    {
        string[] ids = [.. streams.Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];
        if (await CountAsync(connection, database, organisation, ids) < ids.Length)
            await StreamCreation.LockAsync(connection, database, organisation, CancellationToken.None);
        var archived = new List<string>();
        await using (var command = new NpgsqlCommand(
            $"select id, is_archived from {database.Schema}.mt_streams where tenant_id = $1 and id = any($2) order by id for update",
            connection)
        {
            Parameters = { Text(organisation), Texts(ids) },
        })
        await using (var reader = await command.ExecuteReaderAsync())
        {
            while (await reader.ReadAsync())
                if (reader.GetBoolean(1)) archived.Add(reader.GetString(0));
        }
        if (archived.Count == 0) return;
        foreach (var (table, key) in new[] { ("mt_streams", "id"), ("mt_events", "stream_id") })
        {
            await using var command = new NpgsqlCommand(
                $"update {database.Schema}.{table} set is_archived = false where tenant_id = $1 and {key} = any($2) and is_archived",
                connection)
            {
                Parameters = { Text(organisation), Texts([.. archived]) },
            };
            await command.ExecuteNonQueryAsync();
        }
    }
    private static async Task<long> CountAsync(
        NpgsqlConnection connection, Database database, string organisation, string[] ids)
    {
        await using var command = new NpgsqlCommand(
            $"select count(*) from {database.Schema}.mt_streams where tenant_id = $1 and id = any($2)", connection)
        {
            Parameters = { Text(organisation), Texts(ids) },
        };
        return (long)(await command.ExecuteScalarAsync())!;
    }

    private static NpgsqlParameter<string> Text(string value) => new() { TypedValue = value };

    private static NpgsqlParameter<string[]> Texts(string[] values) => new() { TypedValue = values };
}
