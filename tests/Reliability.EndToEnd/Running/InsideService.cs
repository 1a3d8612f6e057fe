using System.Globalization;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Reliability.Service.Hosting;
using Reliability.Store;

namespace Reliability.EndToEnd.Running;

/// <summary>The service within the test's own process, for what only there can be put in: on real sockets and a real PostgreSQL.</summary>
internal sealed class InsideService : IAsyncDisposable
{
    private readonly WebApplication _app;

    private InsideService(WebApplication app, string dataDirectory, Uri grpc, Uri http)
    {
        (_app, DataDirectory, GrpcAddress) = (app, dataDirectory, grpc);
        Clients = new ServiceClients(grpc, http);
    }

    public string DataDirectory { get; }

    public Uri GrpcAddress { get; }

    public ServiceClients Clients { get; }

    public IServiceProvider Services => _app.Services;

    public static async Task<InsideService> StartAsync(
        Action<WebApplicationBuilder>? adapt, CancellationToken cancellation, params string[] settings)
    {
        var folder = TemporaryFolder.Create();
        var (grpcPort, httpPort) = FreePorts.Take();
        var (grpc, http) = (Address(grpcPort), Address(httpPort));
        var app = ServiceProgram.Build(
            [$"--Endpoints:Grpc={grpc}", $"--Endpoints:Http={http}", "--DataDirectory=" + folder, .. settings], adapt);
        await app.Services.GetRequiredService<ReliabilityStore>().StartAsync(cancellation);
        await app.StartAsync(cancellation);
        return new(app, folder, grpc, http);
    }

    /// <summary>Ends the service; its folder stays until it is disposed of.</summary>
    public async Task StopAsync()
    {
        Clients.Dispose();
        await _app.StopAsync();
        await _app.DisposeAsync();
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        Directory.Delete(DataDirectory, recursive: true);
    }

    private static Uri Address(int port) => new(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}"));
}
