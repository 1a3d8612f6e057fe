using Microsoft.Extensions.Logging;
using Npgsql;

namespace Reliability.Store.Health;

/// <summary>
/// Finds sessions that hold locks on the store's tables in a transaction and do nothing, whoever they belong to, and ends
/// those that do so for too long: posts, lives and their progress wait behind them. A server's own
/// idle_in_transaction_session_timeout would do; a server that others run may have none.
/// </summary>
internal sealed class IdleTransactions : IAsyncDisposable
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(2);

    private readonly Database _database;
    private readonly TimeSpan _limit;
    private readonly ILogger _log;
    private readonly CancellationTokenSource _stopping = new();
    private readonly Task _watching;
    private int _toldOf;

    public IdleTransactions(Database database, TimeSpan limit, ILogger log)
    {
        (_database, _limit, _log) = (database, limit, log);
        _watching = Task.Run(WatchAsync);
    }

    /// <summary>Those that have been idle for a while, the longest first.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<List<IdleTransaction>> FindAsync(TimeSpan idleFor, CancellationToken cancellation) => _database.ReadAsync(
        $"""
        select pid, usename, coalesce(application_name, ''), clock_timestamp() - state_change
        from pg_stat_activity session
        where datname = current_database() and state like 'idle in transaction%'
          and clock_timestamp() - state_change > $1
          and exists (
            select from pg_locks held join pg_class c on c.oid = held.relation
            where held.pid = session.pid and held.granted and held.mode <> 'AccessShareLock'
              and c.relnamespace = '{_database.Schema}'::regnamespace)
        order by state_change
        """,
        [new NpgsqlParameter<TimeSpan> { TypedValue = idleFor }],
        row => new IdleTransaction(row.GetInt32(0), row.GetString(1), row.GetString(2), row.GetTimeSpan(3)),
        cancellation);

    public async ValueTask DisposeAsync()
    {
        await _stopping.CancelAsync();
        await _watching;
        _stopping.Dispose();
    }

    private async Task WatchAsync()
    {
        using var timer = new PeriodicTimer(LookEvery);
        try
        {
            while (await timer.WaitForNextTickAsync(_stopping.Token))
            {
                try
                {
                    foreach (var idle in await FindAsync(_limit, _stopping.Token)) await EndAsync(idle);
                }
                catch (StoreUnavailableException)
                {
                    // A database that does not answer is told by readiness; the next look is soon.
                }
            }
        }
        catch (OperationCanceledException)
        {
            // The store is being stopped.
        }
    }

    private async Task EndAsync(IdleTransaction idle)
    {
        try
        {
            await _database.ReadAsync(
                "select pg_terminate_backend($1)", [new NpgsqlParameter<int> { TypedValue = idle.ProcessId }],
                row => row.GetBoolean(0), _stopping.Token);
            _log.LogWarning(
                "Ended a session of {User} ({Application}, process {ProcessId}) that had held a transaction open for {Idle} without "
                + "doing anything", idle.User, idle.Application, idle.ProcessId, idle.IdleFor);
        }
        catch (PostgresException exception) when (exception.SqlState == PostgresErrorCodes.InsufficientPrivilege)
        {
            if (_toldOf == idle.ProcessId) return;
            _toldOf = idle.ProcessId;
            _log.LogWarning(
                "A session of {User} ({Application}, process {ProcessId}) holds a transaction open and may not be ended by this "
                + "service. Set idle_in_transaction_session_timeout for it, or grant pg_signal_backend",
                idle.User, idle.Application, idle.ProcessId);
        }
    }
}
