using Reliability.Store.Lives;

namespace Reliability.Store.Log;

/// <summary>How far the log has come, as Marten keeps it: expressions for queries, 0 before the first event.</summary>
internal static class LogProgress
{
    /// <summary>The position up to which lives and module states have taken the log in.</summary>
    public static string Lives(Database database) => Of(database, LivesSubscription.ShardName);

    /// <summary>The position below which no event can come any more.</summary>
    public static string Settled(Database database) => Of(database, "HighWaterMark");

    /// <summary>Reads one of them.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public static async Task<long> ReadAsync(Database database, string progress, CancellationToken cancellation) =>
        (await database.ReadAsync($"select {progress}", [], reader => reader.GetInt64(0), cancellation))[0];

    private static string Of(Database database, string name) =>
        $"coalesce((select last_seq_id from {database.Schema}.mt_event_progression where name = '{name}'), 0)";
}
