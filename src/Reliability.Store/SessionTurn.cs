using Npgsql;

namespace Reliability.Store;

/// <summary>
/// Lets one process at a time do a piece of work: a session advisory lock. It is given back whatever becomes of the work, since the
/// session goes back into the pool and lives on, and a lock left on it would be waited for for ever.
/// </summary>
internal sealed class SessionTurn : IAsyncDisposable
{
    private readonly NpgsqlConnection _connection;
    private readonly string _name;

    private SessionTurn(NpgsqlConnection connection, string name) => (_connection, _name) = (connection, name);

    /// <summary>Waits for the turn. It ends with the connection at the latest.</summary>
    /// <param name="database">The database.</param>
    /// <param name="name">Name of the work within the schema.</param>
    /// <param name="cancellation">Ends the wait.</param>
    /// <exception cref="NpgsqlException">The database does not answer.</exception>
    public static async Task<SessionTurn> TakeAsync(Database database, string name, CancellationToken cancellation)
    {
        var turn = new SessionTurn(
            await database.Source.OpenConnectionAsync(cancellation), $"{database.Schema}/{name}");
        try
        {
            await turn.ExecuteAsync("select pg_advisory_lock(hashtextextended($1, 0))", cancellation);
            return turn;
        }
        catch
        {
            await turn._connection.DisposeAsync();
            throw;
        }
    }

    public async ValueTask DisposeAsync()
    {
        try
        {
            await ExecuteAsync("select pg_advisory_unlock(hashtextextended($1, 0))", CancellationToken.None);
        }
        catch (Exception exception) when (Failure.IsPassing(exception))
        {
            // The connection is gone, and the turn with it.
        }
        await _connection.DisposeAsync();
    }

    private async Task ExecuteAsync(string sql, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(sql, _connection)
        {
            // Another's turn may take as long as a large page, or as a big index.
            CommandTimeout = 0,
            Parameters = { new NpgsqlParameter<string> { TypedValue = _name } },
        };
        await command.ExecuteNonQueryAsync(cancellation);
    }
}
