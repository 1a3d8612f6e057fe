using Grpc.Net.Client;
using Reliability.V1;

namespace Reliability.EndToEnd.Running;

/// <summary>Clients of one service: gRPC and HTTP/JSON.</summary>
public sealed class ServiceClients : IDisposable
{
    private readonly GrpcChannel _channel;

    // How long a machine that does too much at once may leave a live connection without an answer.
    private static readonly TimeSpan BusyFor = TimeSpan.FromMinutes(1);

    public ServiceClients(ServiceProcess service)
        : this(service.GrpcAddress, service.HttpAddress)
    {
    }

    /// <summary>Clients of a service at these addresses.</summary>
    /// <param name="grpcAddress">Where it answers gRPC.</param>
    /// <param name="httpAddress">Where it answers HTTP.</param>
    /// <param name="longestSilence">After how long without an answer to a ping the connection counts as lost; a minute where not said.</param>
    public ServiceClients(Uri grpcAddress, Uri httpAddress, TimeSpan? longestSilence = null)
    {
        _channel = GrpcChannel.ForAddress(grpcAddress, new()
        {
            // Not the client's usual 4 MiB: an estimate over many failures is larger.
            MaxReceiveMessageSize = 64 * 1024 * 1024,
            // A connection that has gone silent is found out by asking.
            HttpHandler = new SocketsHttpHandler
            {
                EnableMultipleHttp2Connections = true,
                KeepAlivePingDelay = TimeSpan.FromSeconds(1),
                KeepAlivePingTimeout = longestSilence ?? BusyFor,
            },
            DisposeHttpClient = true,
        });
        Http = new HttpClient { BaseAddress = httpAddress };
        Catalogue = new(_channel);
        History = new(_channel);
        Analysis = new(_channel);
        Forecast = new(_channel);
    }

    public GrpcChannel Channel => _channel;

    public HttpClient Http { get; }

    public ModuleCatalogService.ModuleCatalogServiceClient Catalogue { get; }

    public ModuleHistoryService.ModuleHistoryServiceClient History { get; }

    public LifeAnalysisService.LifeAnalysisServiceClient Analysis { get; }

    public LifeForecastService.LifeForecastServiceClient Forecast { get; }

    public void Dispose()
    {
        _channel.Dispose();
        Http.Dispose();
    }
}
