using Reliability.EndToEnd.Running;

namespace Reliability.EndToEnd.Faults.Victims;

/// <summary>A service that is killed and started again at the same address, as a supervisor does it.</summary>
internal sealed class ServiceSlot(params string[] settings) : IAsyncDisposable
{
    private readonly (int Grpc, int Http) _ports = FreePorts.Take();
    private readonly List<string> _errors = [];
    private ServiceProcess? _service;

    public Uri GrpcAddress => new($"http://127.0.0.1:{_ports.Grpc}");

    public Uri HttpAddress => new($"http://127.0.0.1:{_ports.Http}");

    /// <summary>What the logs of all its processes tell of errors of the service's own.</summary>
    public IReadOnlyList<string> Errors => [.. _errors, .. _service?.OwnErrors ?? []];

    /// <summary>The log of the process that runs.</summary>
    public IReadOnlyList<string> Log => _service?.Log ?? [];

    public async Task StartAsync() => _service = await ServiceProcess.StartAsync(_ports.Grpc, _ports.Http, settings);

    public ServiceClients Clients() => new(GrpcAddress, HttpAddress);

    /// <summary>kill -9. Returns once it is dead.</summary>
    public async Task KillAsync()
    {
        await _service!.KillAsync();
        _errors.AddRange(_service.OwnErrors);
        await _service.DisposeAsync();
        _service = null;
    }

    public async ValueTask DisposeAsync()
    {
        if (_service is not null)
            await _service.DisposeAsync();
    }
}
