using Npgsql;

namespace Reliability.Store.Records;

/// <summary>Makes streams ready for an append in a transaction.</summary>
internal static class StreamPreparation
{
    /// <summary>
    /// Locks the streams that exist, in order, and waits for its turn to make those that do not. Brings archived ones
    /// back: a late event is never lost, and Marten refuses appends to an archived stream.
    /// </summary>
    public static async Task PrepareAsync(
        NpgsqlConnection connection, Database database, string organisation, IEnumerable<string> streams)
    {
        string[] ids = [.. streams.Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];
        var archived = new List<string>();
        var found = 0;
        await using (var command = new NpgsqlCommand(
            $"select id, is_archived from {database.Schema}.mt_streams where tenant_id = $1 and id = any($2) order by id for update",
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = ids },
            },
        })
        await using (var reader = await command.ExecuteReaderAsync())
        {
            for (; await reader.ReadAsync(); found++)
                if (reader.GetBoolean(1)) archived.Add(reader.GetString(0));
        }
        if (found < ids.Length)
            await StreamCreation.LockAsync(connection, database, organisation, CancellationToken.None);
        if (archived.Count == 0) return;
        foreach (var (table, key) in new[] { ("mt_streams", "id"), ("mt_events", "stream_id") })
        {
            await using var command = new NpgsqlCommand(
                $"update {database.Schema}.{table} set is_archived = false where tenant_id = $1 and {key} = any($2) and is_archived",
                connection)
            {
                Parameters =
                {
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<string[]> { TypedValue = [.. archived] },
                },
            };
            await command.ExecuteNonQueryAsync();
        }
    }
}
