using System.Globalization;
using System.Text;
using Google.Protobuf;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Uploads;

/// <summary>A file of readings of one module that is sent in parts, as slowly as a test wants.</summary>
internal sealed class SentFile(ServiceClients clients, string name) : IDisposable
{
    private readonly AsyncClientStreamingCall<UploadEventsRequest, UploadEventsResponse> _call =
        clients.History.UploadEvents(cancellationToken: TestContext.Current.CancellationToken);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>The module whose readings it holds.</summary>
    public string Module => "modules/" + name;

    /// <summary>What the service says at the end.</summary>
    public Task<UploadEventsResponse> Answer => _call.ResponseAsync;

    /// <summary>A sheet of readings of a module: a header, then a row a minute.</summary>
    public static string Sheet(string name, int rows)
    {
        var lines = new StringBuilder("event_id,event,module,occur_time,reading_hours\n");
        for (var i = 0; i < rows; i++)
            lines.Append(Row(name, i));
        return lines.ToString();
    }

    /// <summary>A row of such a sheet.</summary>
    public static string Row(string name, int number) => string.Create(
        CultureInfo.InvariantCulture,
        $"r{number},run_hours_read,{name},2024-01-{5 + (number / 1440):00}T{number / 60 % 24:00}:{number % 60:00}Z,{number}\n");

    /// <summary>Sends how the file is to be read.</summary>
    public Task BeginAsync() => _call.RequestStream.WriteAsync(
        new() { Header = new() { FileName = name + ".csv", Source = name } }, Cancellation);

    /// <summary>Sends a part of it.</summary>
    public Task SendAsync(string part) => _call.RequestStream.WriteAsync(
        new() { Content = ByteString.CopyFromUtf8(part) }, Cancellation);

    /// <summary>Ends it, and gives the service's answer.</summary>
    public async Task<UploadEventsResponse> CompleteAsync()
    {
        await _call.RequestStream.CompleteAsync();
        return await _call;
    }

    /// <summary>Waits until something of it is on record.</summary>
    public Task<Module> RecordedAsync() => Eventually.GetAsync(async () =>
    {
        try
        {
            return await clients.History.GetModuleAsync(new GetModuleRequest { Name = Module }, cancellationToken: Cancellation);
        }
        catch (RpcException exception) when (exception.StatusCode == StatusCode.NotFound)
        {
            return null;
        }
    });

    /// <summary>Its sender goes away.</summary>
    public void Dispose() => _call.Dispose();
}
