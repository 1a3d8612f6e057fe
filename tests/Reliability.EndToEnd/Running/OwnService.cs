using Xunit;

namespace Reliability.EndToEnd.Running;

/// <summary>Services and a data folder of one test's own; nothing of it is left afterwards.</summary>
internal sealed class OwnService : IAsyncDisposable
{
    private readonly List<ServiceProcess> _services = [];

    public string DataDirectory { get; } = TemporaryFolder.Create();

    /// <summary>A service on the private cluster of the folder.</summary>
    public Task<ServiceProcess> StartAsync(params string[] settings) => LaunchAsync(["--DataDirectory=" + DataDirectory, .. settings]);

    /// <summary>A service of the folder that has ended, once more at the same addresses.</summary>
    public async Task<ServiceProcess> StartAgainAsync(ServiceProcess ended)
    {
        var service = await ServiceProcess.StartAsync(
            ended.GrpcAddress.Port, ended.HttpAddress.Port, "--DataDirectory=" + DataDirectory);
        _services.Add(service);
        return service;
    }

    /// <summary>A further service on the cluster of the first one.</summary>
    public async Task<ServiceProcess> StartBesideAsync() =>
        await LaunchAsync("--ConnectionStrings:Reliability=" + await PrivateClusterAccess.ConnectionStringAsync(DataDirectory));

    public async ValueTask DisposeAsync()
    {
        // The first one owns PostgreSQL, so it ends last.
        foreach (var service in Enumerable.Reverse(_services))
            await service.DisposeAsync();
        Assert.All(_services, service => Assert.True(service.Errors.Count == 0, string.Join(Environment.NewLine, service.Log)));
        Directory.Delete(DataDirectory, recursive: true);
    }

    private async Task<ServiceProcess> LaunchAsync(params string[] settings)
    {
        var service = await ServiceProcess.StartAsync(settings);
        _services.Add(service);
        return service;
    }
}
