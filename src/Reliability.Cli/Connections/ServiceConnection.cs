using Grpc.Net.Client;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Connections;

/// <summary>The service at an address.</summary>
internal sealed class ServiceConnection : IDisposable
{
    private const int LargestAnswer = 64 * 1024 * 1024;

    private readonly GrpcChannel _channel;

    /// <summary>Prepares a connection; nothing is sent yet.</summary>
    /// <exception cref="UsageException">The address is not an http or https address.</exception>
    public ServiceConnection(string address)
    {
        if (!Uri.TryCreate(address, UriKind.Absolute, out Uri? uri) || uri.Scheme is not ("http" or "https"))
            throw new UsageException($"--address: \"{address}\" is not an address such as http://127.0.0.1:7080.");
        _channel = GrpcChannel.ForAddress(uri, new GrpcChannelOptions
        {
            MaxReceiveMessageSize = LargestAnswer,
            HttpHandler = new SocketsHttpHandler
            {
                ConnectTimeout = TimeSpan.FromSeconds(10),
                EnableMultipleHttp2Connections = true,
                // A network may lose a connection without a word; a command must not wait for ever.
                KeepAlivePingDelay = TimeSpan.FromSeconds(20),
                KeepAlivePingTimeout = TimeSpan.FromSeconds(20),
            },
        });
        Catalog = new ModuleCatalogService.ModuleCatalogServiceClient(_channel);
        History = new ModuleHistoryService.ModuleHistoryServiceClient(_channel);
        Analysis = new LifeAnalysisService.LifeAnalysisServiceClient(_channel);
        Forecast = new LifeForecastService.LifeForecastServiceClient(_channel);
    }

    /// <summary>The catalogue of module models.</summary>
    public ModuleCatalogService.ModuleCatalogServiceClient Catalog { get; }

    /// <summary>Events, modules and lives.</summary>
    public ModuleHistoryService.ModuleHistoryServiceClient History { get; }

    /// <summary>Fits, estimates and comparisons.</summary>
    public LifeAnalysisService.LifeAnalysisServiceClient Analysis { get; }

    /// <summary>Predictions.</summary>
    public LifeForecastService.LifeForecastServiceClient Forecast { get; }

    /// <inheritdoc />
    public void Dispose() => _channel.Dispose();
}
