using Npgsql;

namespace Reliability.Store.Lives;

/// <summary>
/// Lets one process at a time derive modules of an organisation and write their rows. Who has the turn reads records after
/// the one before has written, so that rows never go back: neither through a rebuild beside the projection nor through a
/// process that thinks itself still in charge.
/// </summary>
internal sealed class LivesTurn : IAsyncDisposable
{
    private readonly NpgsqlConnection _connection;
    private readonly string _name;

    private LivesTurn(NpgsqlConnection connection, string name) => (_connection, _name) = (connection, name);

    /// <summary>Waits for the turn. It ends with the connection at the latest.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public static Task<LivesTurn> TakeAsync(Database database, string organisation, CancellationToken cancellation) =>
        Failure.Translated(async () =>
        {
            var turn = new LivesTurn(
                await database.Source.OpenConnectionAsync(cancellation), $"{database.Schema}/lives/{organisation}");
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
        });

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
            // Another's turn may take as long as a large page.
            CommandTimeout = 0,
            Parameters = { new NpgsqlParameter<string> { TypedValue = _name } },
        };
        await command.ExecuteNonQueryAsync(cancellation);
    }
}
