using Microsoft.Extensions.Logging.Abstractions;
using Reliability.EndToEnd.Running;
using Reliability.Store.PostgresInstance;
using Xunit;

namespace Reliability.EndToEnd.Faults.Victims;

/// <summary>
/// A PostgreSQL that no service owns: it lives on when services die, and the test starts it again when it dies itself.
/// </summary>
internal sealed class OwnPostgres : IAsyncDisposable
{
    private readonly PrivateCluster _cluster;

    private OwnPostgres(PrivateCluster cluster, string dataDirectory) =>
        (_cluster, DataDirectory) = (cluster, dataDirectory);

    public string DataDirectory { get; }

    public string ConnectionString => _cluster.ConnectionString;

    public int Port => _cluster.Port;

    public static async Task<OwnPostgres> StartAsync()
    {
        var folder = TemporaryFolder.Create();
        return new(
            await PrivateCluster.StartAsync(folder, NullLogger.Instance, TestContext.Current.CancellationToken), folder);
    }

    public async ValueTask DisposeAsync()
    {
        await _cluster.DisposeAsync();
        Directory.Delete(DataDirectory, recursive: true);
    }
}
