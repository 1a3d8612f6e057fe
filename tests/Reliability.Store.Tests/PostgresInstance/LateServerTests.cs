using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.PostgresInstance;
using Xunit;

namespace Reliability.Store.Tests.PostgresInstance;

/// <summary>Machines start a service and its database in any order.</summary>
public sealed class LateServerTests : IDisposable
{
    private readonly string _data = TemporaryFolder.Create();

    public void Dispose() => Directory.Delete(_data, recursive: true);

    [Fact]
    public async Task A_start_waits_for_a_database_that_comes_later()
    {
        var cancellation = TestContext.Current.CancellationToken;
        string connection;
        await using (var first = await PrivateCluster.StartAsync(_data, NullLogger.Instance, cancellation))
            connection = first.ConnectionString;
        await using var store = new ReliabilityStore(
            new ReliabilityStoreOptions { ConnectionString = connection, StartPatience = TimeSpan.FromSeconds(60) },
            NullLoggerFactory.Instance);

        var starting = store.StartAsync(cancellation);
        Assert.False(starting.IsCompleted);
        await using var later = await PrivateCluster.StartAsync(_data, NullLogger.Instance, cancellation);
        Assert.Equal(connection, later.ConnectionString);
        await starting;

        Assert.True((await store.CheckHealthAsync(cancellation)).Ready);
        await store.DisposeAsync();
        NpgsqlConnection.ClearAllPools();
    }
}
