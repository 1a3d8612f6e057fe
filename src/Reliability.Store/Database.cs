using System.Data.Common;
using System.Runtime.CompilerServices;
using Npgsql;

namespace Reliability.Store;

/// <summary>
/// The database: connections, short reads, and the one place where its failures become
/// <see cref="StoreUnavailableException"/>.
/// </summary>
internal sealed class Database(NpgsqlDataSource source, string schema)
{
    /// <summary>Name of the schema, quoted where needed, in front of table names.</summary>
    public string Schema { get; } = schema;

    public NpgsqlDataSource Source { get; } = source;

    /// <summary>Connection string with what suits this store where the caller set nothing else.</summary>
    public static string Suited(string connectionString)
    {
        var builder = new NpgsqlConnectionStringBuilder(connectionString);
        var given = new DbConnectionStringBuilder { ConnectionString = connectionString };
        if (!given.ContainsKey("Max Auto Prepare")) builder.MaxAutoPrepare = 40;
        if (!given.ContainsKey("Auto Prepare Min Usages")) builder.AutoPrepareMinUsages = 2;
        if (!given.ContainsKey("No Reset On Close")) builder.NoResetOnClose = true;
        // One that waits for a connection is served later; one connection too many is refused by the server. Two services share one
        // server of 100 connections.
        if (!given.ContainsKey("Maximum Pool Size")) builder.MaxPoolSize = 45;
        // A receipt promises that the event is on disk, whatever the server's or the role's default is.
        if (builder.Options?.Contains("synchronous_commit", StringComparison.Ordinal) != true)
            builder.Options = $"{builder.Options} -c synchronous_commit=on".TrimStart();
        // Not a matter of taste: Marten writes record times as UTC without saying so, and a session in another zone would
        // store them hours away from when they were.
        builder.Timezone = "UTC";
        if (!given.ContainsKey("Application Name")) builder.ApplicationName = "reliability";
        return builder.ConnectionString;
    }

    /// <summary>Reads rows. A connection broken while it was idle is replaced once.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<List<T>> ReadAsync<T>(
        string sql, IReadOnlyList<NpgsqlParameter> parameters, Func<NpgsqlDataReader, T> map,
        CancellationToken cancellation)
    {
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                await using var command = Source.CreateCommand(sql);
                foreach (var parameter in parameters) command.Parameters.Add(parameter.Clone());
                await using var reader = await command.ExecuteReaderAsync(cancellation);
                var rows = new List<T>();
                while (await reader.ReadAsync(cancellation)) rows.Add(map(reader));
                return rows;
            }
            catch (Exception exception) when (Failure.IsPassing(exception))
            {
                if (attempt > 1) throw new StoreUnavailableException(exception);
            }
        }
    }

    /// <summary>Reads rows one after the other, holding none.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async IAsyncEnumerable<T> StreamAsync<T>(
        string sql, IReadOnlyList<NpgsqlParameter> parameters, Func<NpgsqlDataReader, T> map,
        [EnumeratorCancellation] CancellationToken cancellation)
    {
        await using var command = Source.CreateCommand(sql);
        foreach (var parameter in parameters) command.Parameters.Add(parameter.Clone());
        await using var reader = await Failure.Translated(() => command.ExecuteReaderAsync(cancellation));
        while (await Failure.Translated(() => reader.ReadAsync(cancellation))) yield return map(reader);
    }

    /// <summary>Hands rows over one after the other, holding none.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task ForEachAsync(
        string sql, IReadOnlyList<NpgsqlParameter> parameters, Action<NpgsqlDataReader> take, CancellationToken cancellation) =>
        Failure.Translated(async () =>
        {
            await using var command = Source.CreateCommand(sql);
            foreach (var parameter in parameters) command.Parameters.Add(parameter.Clone());
            await using var reader = await command.ExecuteReaderAsync(cancellation);
            var rows = 0L;
            for (; await reader.ReadAsync(cancellation); rows++) take(reader);
            return rows;
        });
}
