using System.Diagnostics;
using Npgsql;
using Reliability.Store.Health;
using Reliability.Store.Lives;
using Reliability.Store.Log;

namespace Reliability.Store.Revisions;

/// <summary>
/// Instants of the record. An event's record time is when its transaction began, by the database's clock, so the record
/// as of an instant is settled once no transaction that began by then can still write.
/// </summary>
public sealed class RecordTimeQueries
{
    // A transaction shows among the running ones, with its first lock, a moment after its begin.
    private static readonly TimeSpan ShownAfter = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan FirstPause = TimeSpan.FromMilliseconds(10);
    private static readonly TimeSpan LongestPause = TimeSpan.FromMilliseconds(200);

    private readonly string _organisation;
    private readonly Database _database;
    private readonly LivesPace _pace;

    internal RecordTimeQueries(string organisation, Database database, LivesPace pace) =>
        (_organisation, _database, _pace) = (organisation, database, pace);

    /// <summary>The present instant by the clock that gives record times, UTC.</summary>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<DateTimeOffset> NowAsync(CancellationToken cancellation) =>
        (await _database.ReadAsync(
            "select clock_timestamp()", [], reader => reader.GetFieldValue<DateTimeOffset>(0), cancellation))[0];

    /// <summary>
    /// Waits until what was recorded by an instant can no longer grow, and is taken in by lives and module states. Only
    /// then are answers as of that instant the same for good.
    /// </summary>
    /// <param name="recordTime">The instant, UTC.</param>
    /// <param name="timeout">The longest wait.</param>
    /// <param name="cancellation">Ends the wait.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<RecordTimeWait> SettleAsync(
        DateTimeOffset recordTime, TimeSpan timeout, CancellationToken cancellation)
    {
        if (recordTime > await NowAsync(cancellation)) return RecordTimeWait.Future;
        var started = Stopwatch.GetTimestamp();
        for (var pause = FirstPause; ; pause = pause * 2 < LongestPause ? pause * 2 : LongestPause)
        {
            // One after the other: what was committed between the two looks is seen by the second.
            if (!await CanStillGrowAsync(recordTime, cancellation) && await IsTakenInAsync(recordTime, cancellation))
                return RecordTimeWait.Settled;
            if (Stopwatch.GetElapsedTime(started) + pause > timeout) return RecordTimeWait.TimedOut;
            await Task.Delay(pause, cancellation);
        }
    }

    /// <summary>
    /// Whether a transaction that began by then is open and may write: it has touched the store's tables and waits for its client
    /// (<see cref="IdleTransactions"/> ends it when it does so for long), or it waits for a lock, or holds one that readers do not take.
    /// A dump or another long read does not hold an answer up.
    /// </summary>
    private async Task<bool> CanStillGrowAsync(DateTimeOffset recordTime, CancellationToken cancellation) =>
        (await _database.ReadAsync(
            $"""
            select clock_timestamp() < $1 + $2 or exists (
              select from pg_stat_activity open
              where datname = current_database() and backend_type = 'client backend' and xact_start <= $1
                and ({IdleTransactions.Condition(_database, "open")} or exists (
                  select from pg_locks held where held.pid = open.pid
                    and (mode in ('RowShareLock', 'RowExclusiveLock') or locktype in ('transactionid', 'advisory') or not granted))))
            """,
            [
                new NpgsqlParameter<DateTimeOffset> { TypedValue = recordTime.ToUniversalTime() },
                new NpgsqlParameter<TimeSpan> { TypedValue = ShownAfter },
            ],
            reader => reader.GetBoolean(0),
            cancellation))[0];

    private async Task<bool> IsTakenInAsync(DateTimeOffset recordTime, CancellationToken cancellation)
    {
        var missing = (await _database.ReadAsync(
            $"""
            select coalesce(max(seq_id), 0) from {_database.Schema}.mt_events
            where tenant_id = $1 and timestamp <= $2 and seq_id > {LogProgress.Lives(_database)}
            """,
            [
                new NpgsqlParameter<string> { TypedValue = _organisation },
                new NpgsqlParameter<DateTimeOffset> { TypedValue = recordTime.ToUniversalTime() },
            ],
            reader => reader.GetInt64(0),
            cancellation))[0];
        if (missing > 0) _pace.Want(missing);
        return missing == 0;
    }
}
