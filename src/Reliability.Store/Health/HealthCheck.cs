using Npgsql;
using Reliability.Store.Lives;

namespace Reliability.Store.Health;

/// <summary>Looks how the database and the projections are.</summary>
internal static class HealthCheck
{
    public static async Task<StoreHealth> CheckAsync(Database database, CancellationToken cancellation)
    {
        try
        {
            return (await database.ReadAsync(
                $"""
                with progress as (
                  select coalesce((select last_seq_id from {database.Schema}.mt_event_progression where name = $1), 0)
                  as lives)
                select
                  coalesce((select max(seq_id) from {database.Schema}.mt_events), 0),
                  coalesce((select last_seq_id from {database.Schema}.mt_event_progression
                    where name = 'HighWaterMark'), 0),
                  lives,
                  (select clock_timestamp() - timestamp from {database.Schema}.mt_events
                    where seq_id > lives order by seq_id limit 1),
                  (select clock_timestamp() - min(xact_start) from pg_stat_activity
                    where datname = current_database() and backend_xid is not null)
                from progress
                """,
                [new NpgsqlParameter<string> { TypedValue = LivesSubscription.ShardName }],
                reader => new StoreHealth
                {
                    Started = true,
                    DatabaseReachable = true,
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
}
