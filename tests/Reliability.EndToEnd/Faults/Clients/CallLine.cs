using System.Runtime.CompilerServices;
using System.Threading.Channels;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>RecordEvents, several calls under way at a time.</summary>
internal sealed class CallLine(ServiceClients clients) : IPostLine
{
    private const int CallsUnderWay = 8;

    private readonly Channel<AsyncUnaryCall<RecordEventsResponse>> _calls =
        Channel.CreateBounded<AsyncUnaryCall<RecordEventsResponse>>(CallsUnderWay);

    public async Task SendAsync(ModuleEvent[] events, CancellationToken cancellation)
    {
        await _calls.Writer.WaitToWriteAsync(cancellation);
        await _calls.Writer.WriteAsync(
            clients.History.RecordEventsAsync(new RecordEventsRequest { Events = { events } }, cancellationToken: cancellation),
            cancellation);
    }

    public Task CompleteAsync()
    {
        _calls.Writer.TryComplete();
        return Task.CompletedTask;
    }

    public async IAsyncEnumerable<RecordEventResult> AnswersAsync([EnumeratorCancellation] CancellationToken cancellation)
    {
        await foreach (var call in _calls.Reader.ReadAllAsync(cancellation))
        {
            foreach (var result in (await call).Results)
                yield return result;
        }
    }

    public async ValueTask DisposeAsync()
    {
        _calls.Writer.TryComplete();
        while (_calls.Reader.TryRead(out var call))
        {
            call.Dispose();
            await Settled(call.ResponseAsync);
        }

        clients.Dispose();
    }

    private static async Task Settled(Task call) =>
        await call.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
}
