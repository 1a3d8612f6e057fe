using System.Diagnostics;
using Npgsql;
using Reliability.EndToEnd.Running;
using Reliability.V1;

namespace Reliability.Benchmarks.Harness;

/// <summary>The service as a process of its own on a private PostgreSQL in a temporary folder, all on this machine.</summary>
internal sealed class RunningService : IAsyncDisposable
{
    private const int BatchLength = 500;

    private readonly string _folder = TemporaryFolder.Create();
    private ServiceProcess? _service;
    private ServiceClients? _clients;

    public ServiceClients Clients => _clients!;

    /// <summary>Seconds on a processor that the service has taken so far.</summary>
    public double ProcessorSeconds => _service!.ProcessorTime.TotalSeconds;

    /// <summary>Connects to the service's own PostgreSQL.</summary>
    public async Task<NpgsqlDataSource> DatabaseAsync() =>
        NpgsqlDataSource.Create(await PrivateClusterAccess.ConnectionStringAsync(_folder));

    public static async Task<RunningService> StartAsync(CancellationToken cancellationToken)
    {
        var running = new RunningService();
        running._service = await ServiceProcess.StartAsync("--DataDirectory=" + running._folder);
        running._clients = new ServiceClients(running._service);
        await running.Clients.Catalogue.CreateModuleModelAsync(SimulatedFleet.Model, cancellationToken: cancellationToken);
        return running;
    }

    /// <summary>The way into its PostgreSQL.</summary>
    public Task<string> ConnectionStringAsync() => PrivateClusterAccess.ConnectionStringAsync(_folder);

    /// <summary>Posts events in batches from a number of callers, and returns the last revision and the seconds it took.</summary>
    public async Task<(string Revision, double Seconds)> PostAsync(
        IReadOnlyList<ModuleEvent> events, int callers, CancellationToken cancellationToken, int batchLength = BatchLength)
    {
        var revision = "";
        var start = Stopwatch.GetTimestamp();
        await Parallel.ForEachAsync(
            events.Chunk(batchLength),
            new ParallelOptions { MaxDegreeOfParallelism = callers, CancellationToken = cancellationToken },
            async (batch, cancellation) =>
            {
                var answer = await Clients.History.RecordEventsAsync(
                    new RecordEventsRequest { Events = { batch } }, cancellationToken: cancellation);
                if (answer.Results.FirstOrDefault(result => result.Error is not null) is { } refused)
                    throw new InvalidOperationException("The service refused an event: " + refused.Error.Message);
                revision = answer.Results[^1].Receipt.Revision;
            });
        return (revision, Stopwatch.GetElapsedTime(start).TotalSeconds);
    }

    public async ValueTask DisposeAsync()
    {
        _clients?.Dispose();
        if (_service is not null)
            await _service.DisposeAsync();
        Directory.Delete(_folder, recursive: true);
    }
}
