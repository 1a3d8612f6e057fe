using Npgsql;
using Reliability.Store.Log;

namespace Reliability.Store.Health;

/// <summary>Looks how the database and the projections are.</summary>
internal static class HealthCheck
{
    public static async Task<StoreHealth> CheckAsync(StoreParts parts, CancellationToken cancellation)
    {
        var (database, writer) = (parts.Database, parts.Writer);
        try
        {
            if (writer.StorageFull && await HasSpaceAsync(database, cancellation)) writer.NoteSpace();
            var idle = await parts.IdleTransactions.FindAsync(StoreHealth.IdleTransactionsToldAfter, cancellation);
            return (await database.ReadAsync(
                $"""
                with progress as (
                  select {LogProgress.Lives(database)} as lives)
                select
                  coalesce((select max(seq_id) from {database.Schema}.mt_events), 0),
                  {LogProgress.Settled(database)},
                  lives,
                  (select clock_timestamp() - timestamp from {database.Schema}.mt_events
                    where seq_id > lives order by seq_id limit 1),
                  (select clock_timestamp() - min(xact_start) from pg_stat_activity
                    where datname = current_database() and backend_xid is not null)
                from progress
                """,
                [],
                reader => new StoreHealth
                {
                    Started = true,
                    DatabaseReachable = true,
                    StorageFull = writer.StorageFull,
                    IdleTransactions = idle,
                    OthersUnseen = parts.IdleTransactions.OthersUnseen,
                    LogPosition = reader.GetInt64(0),
                    HighWaterMark = reader.GetInt64(1),
                    LivesPosition = reader.GetInt64(2),
                    LivesLag = reader.IsDBNull(3) ? TimeSpan.Zero : reader.GetTimeSpan(3),
                    OldestOpenTransaction = reader.IsDBNull(4) ? null : reader.GetTimeSpan(4),
                },
                cancellation))[0];
        }
        catch (StoreUnavailableException)
        {
            return new StoreHealth { Started = true };
        }
    }

    /// <summary>
    /// Whether the database can write about a megabyte. Asked only after a post has failed for want of space: where a balancer
    /// sends no more posts to a service that is not ready, nothing else would tell that there is space again.
    /// </summary>
    private static async Task<bool> HasSpaceAsync(Database database, CancellationToken cancellation)
    {
        try
        {
            await using var connection = await database.Source.OpenConnectionAsync(cancellation);
            await using var transaction = await connection.BeginTransactionAsync(cancellation);
            await using var write = new NpgsqlCommand(
                "create temporary table space_probe on commit drop as "
                + "select repeat(md5(n::text), 32) as filler from generate_series(1, 1000) n",
                connection);
            await write.ExecuteNonQueryAsync(cancellation);
            await transaction.RollbackAsync(cancellation);
            return true;
        }
        catch (Exception exception) when (Failure.IsPassing(exception))
        {
            return false;
        }
    }
}
