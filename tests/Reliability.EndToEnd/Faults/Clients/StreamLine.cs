using System.Runtime.CompilerServices;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>StreamEvents.</summary>
internal sealed class StreamLine(ServiceClients clients) : IPostLine
{
    private readonly AsyncDuplexStreamingCall<StreamEventsRequest, StreamEventsResponse> _call = clients.History.StreamEvents();

    public Task SendAsync(ModuleEvent[] events, CancellationToken cancellation) =>
        _call.RequestStream.WriteAsync(new StreamEventsRequest { Events = { events } }, cancellation);

    public Task CompleteAsync() => _call.RequestStream.CompleteAsync();

    public async IAsyncEnumerable<RecordEventResult> AnswersAsync([EnumeratorCancellation] CancellationToken cancellation)
    {
        var answered = 0L;
        await foreach (var response in _call.ResponseStream.ReadAllAsync(cancellation))
        {
            if (response.FirstIndex != answered)
                throw new InvalidDataException($"An answer begins at {response.FirstIndex} after {answered} were answered.");
            foreach (var result in response.Results)
                yield return result;
            answered += response.Results.Count;
        }
    }

    public ValueTask DisposeAsync()
    {
        _call.Dispose();
        clients.Dispose();
        return ValueTask.CompletedTask;
    }
}
