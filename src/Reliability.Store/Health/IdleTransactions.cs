using Microsoft.Extensions.Logging;
using Npgsql;

namespace Reliability.Store.Health;

/// <summary>
/// Finds sessions that have touched the store's tables in a transaction and do nothing, whoever they belong to, and ends those
/// that do so for too long: posts, lives and their progress wait behind their locks, and answers as of an instant for what they
/// may still write. A server's own
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

    private IdleTransactions(Database database, TimeSpan limit, bool othersUnseen, ILogger log)
    {
        (_database, _limit, OthersUnseen, _log) = (database, limit, othersUnseen, log);
        _watching = Task.Run(WatchAsync);
    }

    /// <summary>
    /// Whether PostgreSQL hides from the database user what sessions of other users do, so that theirs are never found.
    /// </summary>
    public bool OthersUnseen { get; }

    /// <summary>Starts to look.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public static async Task<IdleTransactions> StartAsync(
        Database database, TimeSpan limit, ILogger log, CancellationToken cancellation)
    {
        var seen = (await database.ReadAsync(
            "select pg_has_role('pg_read_all_stats', 'USAGE')", [], row => row.GetBoolean(0), cancellation))[0];
        if (!seen)
            log.LogWarning(
                "The database user may not see what sessions of other users do: transactions that they leave open are neither told nor "
                + "ended. Grant it pg_read_all_stats, or set idle_in_transaction_session_timeout for them");
        return new IdleTransactions(database, limit, !seen, log);
    }

    /// <summary>
    /// The condition on a row of pg_stat_activity: an open transaction that does nothing and has touched a table of the store. One
    /// that has only read counts: it may write next, with the record time of its beginning.
    /// </summary>
    /// <param name="database">The database.</param>
    /// <param name="session">Name of the row in the query.</param>
    public static string Condition(Database database, string session) =>
        $"""
        {session}.state like 'idle in transaction%' and exists (
          select from pg_locks touched join pg_class c on c.oid = touched.relation
          where touched.pid = {session}.pid and touched.granted and c.relnamespace = '{database.Schema}'::regnamespace)
        """;

    /// <summary>Those that have been idle for a while, the longest first.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<List<IdleTransaction>> FindAsync(TimeSpan idleFor, CancellationToken cancellation) => _database.ReadAsync(
        $"""
        select pid, usename, coalesce(application_name, ''), clock_timestamp() - state_change
        from pg_stat_activity session
        where datname = current_database() and clock_timestamp() - state_change > $1 and {Condition(_database, "session")}
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
                catch (Exception exception) when (exception is not OperationCanceledException)
                {
                    // Whatever it was, who holds posts up is looked for again.
                    _log.LogError(exception, "The look for idle transactions failed");
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
