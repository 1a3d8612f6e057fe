using Npgsql;

namespace Reliability.EndToEnd.Running;

/// <summary>The rows of lives and module states, as PostgreSQL holds them.</summary>
internal static class LivesTable
{
    /// <summary>How many lives there are, and a digest over every byte of every row of lives and module states, in order.</summary>
    public static async Task<(long Rows, string Digest)> DigestAsync(string connectionString)
    {
        await using var source = NpgsqlDataSource.Create(connectionString);
        await using var command = source.CreateCommand(
            """
            select (select count(*) from reliability.lives),
              (select md5(string_agg(md5(l::text), '' order by organisation, module, number)) from reliability.lives l)
              || (select md5(string_agg(md5(s::text), '' order by organisation, module)) from reliability.module_state s)
            """);
        command.CommandTimeout = 600;
        await using var reader = await command.ExecuteReaderAsync();
        await reader.ReadAsync();
        return (reader.GetInt64(0), reader.GetString(1));
    }
}
