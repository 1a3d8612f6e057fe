using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.PostgresInstance;
using Reliability.Store.Tests;
using Xunit;

[assembly: AssemblyFixture(typeof(SharedServer))]

namespace Reliability.Store.Tests;

/// <summary>One private PostgreSQL for the whole run, started through the store's own launcher; a database a test.</summary>
public sealed class SharedServer : IAsyncLifetime
{
    private readonly string _data = TemporaryFolder.Create();
    private PrivateCluster? _cluster;
    private int _databases;

    public async ValueTask InitializeAsync() => _cluster = await PrivateCluster.StartAsync(
        _data, NullLogger.Instance, TestContext.Current.CancellationToken);

    public async ValueTask DisposeAsync()
    {
        NpgsqlConnection.ClearAllPools();
        if (_cluster is not null) await _cluster.DisposeAsync();
        Directory.Delete(_data, recursive: true);
    }

    /// <summary>Makes an empty database and returns its connection string.</summary>
    public async Task<string> NewDatabaseAsync()
    {
        var name = $"test_{Interlocked.Increment(ref _databases)}";
        await using var connection = new NpgsqlConnection(_cluster!.ConnectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand($"create database {name}", connection);
        await command.ExecuteNonQueryAsync();
        return new NpgsqlConnectionStringBuilder(_cluster.ConnectionString) { Database = name }.ConnectionString;
    }
}
