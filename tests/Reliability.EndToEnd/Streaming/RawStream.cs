using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Streaming;

/// <summary>A StreamEvents call taken message by message, as the wire has it.</summary>
internal sealed class RawStream(ServiceClients clients, CallOptions? options = null) : IDisposable
{
    private readonly AsyncDuplexStreamingCall<StreamEventsRequest, StreamEventsResponse> _call = clients.History.StreamEvents(
        options ?? new CallOptions(cancellationToken: TestContext.Current.CancellationToken));

    private long _answered;

    public Task SendAsync(params IEnumerable<ModuleEvent> events) =>
        _call.RequestStream.WriteAsync(new StreamEventsRequest { Events = { events } });

    public Task EndAsync() => _call.RequestStream.CompleteAsync();

    /// <summary>Waits for so many further answers; there may be more.</summary>
    public async Task<List<RecordEventResult>> TakeAsync(int count)
    {
        var results = new List<RecordEventResult>();
        while (results.Count < count)
        {
            Assert.True(await _call.ResponseStream.MoveNext(TestContext.Current.CancellationToken), "The stream ended early.");
            var response = _call.ResponseStream.Current;
            Assert.Equal(_answered, response.FirstIndex);
            _answered += response.Results.Count;
            results.AddRange(response.Results);
        }

        return results;
    }

    /// <summary>All answers to the end of the stream, and how it ended.</summary>
    public async Task<(List<RecordEventResult> Results, RpcException? End)> TakeAllAsync()
    {
        var results = new List<RecordEventResult>();
        try
        {
            while (await _call.ResponseStream.MoveNext(TestContext.Current.CancellationToken))
            {
                Assert.Equal(_answered, _call.ResponseStream.Current.FirstIndex);
                _answered += _call.ResponseStream.Current.Results.Count;
                results.AddRange(_call.ResponseStream.Current.Results);
            }

            return (results, null);
        }
        catch (RpcException end)
        {
            return (results, end);
        }
    }

    public void Dispose() => _call.Dispose();
}
