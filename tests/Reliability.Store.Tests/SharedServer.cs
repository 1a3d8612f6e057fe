using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.PostgresInstance;
using Reliability.Store.Tests;
using Xunit;

[assembly: AssemblyFixture(typeof(SharedServer))]

namespace Reliability.Store.Tests;

/// <summary>One private PostgreSQL for the whole run, started through the store's own launcher; a schema a test.</summary>
public sealed class SharedServer : IAsyncLifetime
{
    private readonly string _data = TemporaryFolder.Create();
    private PrivateCluster? _cluster;
    private int _schemas;

    public string ConnectionString => _cluster!.ConnectionString;

    public async ValueTask InitializeAsync() => _cluster = await PrivateCluster.StartAsync(
        _data, NullLogger.Instance, TestContext.Current.CancellationToken);

    public async ValueTask DisposeAsync()
    {
        NpgsqlConnection.ClearAllPools();
        if (_cluster is not null) await _cluster.DisposeAsync();
        Directory.Delete(_data, recursive: true);
    }

    /// <summary>Name of a schema that no other test uses.</summary>
    public string NewSchema() => $"test_{Interlocked.Increment(ref _schemas)}";
}
