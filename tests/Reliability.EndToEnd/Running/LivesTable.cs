using Npgsql;

namespace Reliability.EndToEnd.Running;

/// <summary>The rows of lives and module states, as PostgreSQL holds them.</summary>
internal static class LivesTable
{
    /// <summary>
    /// How many modules and lives there are, and a digest over every byte of every row of lives and module states, in order; modules whose id
    /// begins with a prefix can be left out.
    /// </summary>
    public static async Task<(long Modules, long Lives, string Digest)> DigestAsync(string connectionString, string? leftOut = null)
    {
        await using var source = NpgsqlDataSource.Create(connectionString);
        await using var command = source.CreateCommand(
            """
            select (select count(*) from reliability.module_state where starts_with(module, $1) is not true),
              (select count(*) from reliability.lives where starts_with(module, $1) is not true),
              (select md5(string_agg(md5(l::text), '' order by organisation, module, number)) from reliability.lives l
                where starts_with(module, $1) is not true)
              || (select md5(string_agg(md5(s::text), '' order by organisation, module)) from reliability.module_state s
                where starts_with(module, $1) is not true)
            """);
        command.Parameters.Add(new NpgsqlParameter { Value = (object?)leftOut ?? DBNull.Value, NpgsqlDbType = NpgsqlTypes.NpgsqlDbType.Text });
        command.CommandTimeout = 600;
        await using var reader = await command.ExecuteReaderAsync();
        await reader.ReadAsync();
        return (reader.GetInt64(0), reader.GetInt64(1), reader.GetString(2));
    }
}
