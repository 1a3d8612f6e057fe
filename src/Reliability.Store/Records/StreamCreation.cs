using Npgsql;

namespace Reliability.Store.Records;

/// <summary>
/// Lets one transaction at a time make new streams in an organisation. Two that made the same stream at once would
/// collide, and the one that fails leaves a gap in the log's numbers, at which the projections wait for seconds.
/// </summary>
internal static class StreamCreation
{
    /// <summary>Waits for its turn; the turn ends with the transaction.</summary>
    public static async Task LockAsync(
        NpgsqlConnection connection, Database database, string organisation, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(
            "select pg_advisory_xact_lock(hashtextextended($1, 0))", connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = $"{database.Schema}/new-streams/{organisation}" },
            },
        };
        await command.ExecuteNonQueryAsync(cancellation);
    }
}
