using Npgsql;

namespace Reliability.Benchmarks.Ingest;

/// <summary>How much the store's tables take on disk, indexes and all, and how they are filled before a measurement.</summary>
internal sealed class Disk(NpgsqlDataSource database)
{
    /// <summary>Bytes of the log with its table of posted ids, and of what is derived from it.</summary>
    internal sealed record Sizes(double LogAndIds, double Derived);

    // Marten's tables are the log; the two of ours that cannot be made anew from it stand beside it.
    public async Task<Sizes> SizesAsync(CancellationToken cancellationToken)
    {
        await using var command = database.CreateCommand(
            """
            select
                coalesce(sum(size) filter (where relname ~ '^(mt_|posted_event|commit_window)'), 0)::float8,
                coalesce(sum(size) filter (where relname !~ '^(mt_|posted_event|commit_window)'), 0)::float8
            from (
                select relname, pg_total_relation_size(oid) as size
                from pg_class where relnamespace = 'reliability'::regnamespace and relkind = 'r') as sizes
            """);
        await using var reader = await command.ExecuteReaderAsync(cancellationToken);
        await reader.ReadAsync(cancellationToken);
        return new(reader.GetDouble(0), reader.GetDouble(1));
    }

    /// <summary>
    /// Fills the table of posted ids with random ids that look like those of events (uuids of version 5), as if they had been
    /// posted long ago.
    /// </summary>
    public async Task SeedIdsAsync(int ids, CancellationToken cancellationToken)
    {
        await using var command = database.CreateCommand(
            """
            insert into reliability.posted_event (event_id, body_hash, window_number)
            select overlay(overlay(md5(n::text) placing '5' from 13) placing 'a' from 17)::uuid, n,
                (select min(window_number) from reliability.commit_window)
            from generate_series(1, $1) as n
            order by 1
            """);
        command.Parameters.AddWithValue(ids);
        command.CommandTimeout = 0;
        await command.ExecuteNonQueryAsync(cancellationToken);
        await using var settle = database.CreateCommand("analyze reliability.posted_event; checkpoint");
        settle.CommandTimeout = 0;
        await settle.ExecuteNonQueryAsync(cancellationToken);
    }
}
