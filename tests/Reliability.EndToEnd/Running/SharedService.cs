using Reliability.EndToEnd.Running;
using Xunit;

[assembly: AssemblyFixture(typeof(SharedService))]

namespace Reliability.EndToEnd.Running;

/// <summary>One service with its private PostgreSQL for the whole run. An error in its log fails the run.</summary>
public sealed class SharedService : IAsyncLifetime
{
    private readonly string _data = TemporaryFolder.Create();
    private ServiceProcess? _service;
    private ServiceClients? _clients;

    public ServiceProcess Service => _service!;

    public ServiceClients Clients => _clients!;

    public async ValueTask InitializeAsync()
    {
        _service = await ServiceProcess.StartAsync("--DataDirectory=" + _data);
        _clients = new ServiceClients(_service);
    }

    public async ValueTask DisposeAsync()
    {
        _clients?.Dispose();
        if (_service is not null)
        {
            var exitCode = await _service.StopAsync();
            var errors = _service.Errors;
            var log = string.Join(Environment.NewLine, _service.Log);
            await _service.DisposeAsync();
            Assert.True(errors.Count == 0 && exitCode == 0, $"The service ended with {exitCode} and this log:{Environment.NewLine}{log}");
        }

        Directory.Delete(_data, recursive: true);
    }
}
