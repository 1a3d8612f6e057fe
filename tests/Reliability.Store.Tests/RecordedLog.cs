using Npgsql;
using Reliability.Store.Readings;

namespace Reliability.Store.Tests;

/// <summary>What is in the log itself, whatever the tables beside it say: events of modules and readings in sheets.</summary>
internal static class RecordedLog
{
    /// <summary>The id of each event of modules in the log, as often as it is there.</summary>
    public static async Task<List<Guid>> IdsAsync(
        string connectionString, string schema, CancellationToken cancellation)
    {
        await using var source = NpgsqlDataSource.Create(connectionString);
        await using var command = source.CreateCommand(
            $"""
            select id, tenant_id, timestamp, bdata from {schema}.mt_events
            where type not like 'module_model_%' order by seq_id
            """);
        await using var reader = await command.ExecuteReaderAsync(cancellation);
        var ids = new List<Guid>();
        while (await reader.ReadAsync(cancellation))
        {
            if (reader.IsDBNull(3)) ids.Add(reader.GetGuid(0));
            else
                ids.AddRange(new ReadingSheet(reader.GetFieldValue<byte[]>(3))
                    .Readings(reader.GetString(1), reader.GetFieldValue<DateTimeOffset>(2))
                    .Select(reading => reading.EventId));
        }
        return ids;
    }
}
