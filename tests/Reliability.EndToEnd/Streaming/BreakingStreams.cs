using Grpc.Core;
using Grpc.Core.Interceptors;

namespace Reliability.EndToEnd.Streaming;

/// <summary>
/// Breaks the first stream of a client at a moment that no network can be made to hit: a message has gone out whole, and its
/// sender is told that it has not only when something else has happened.
/// </summary>
/// <param name="before">What has to happen first.</param>
internal sealed class BreakingStreams(Task before) : Interceptor
{
    private int _opened;

    /// <summary>How many streams were opened.</summary>
    public int Opened => _opened;

    public override AsyncDuplexStreamingCall<TRequest, TResponse> AsyncDuplexStreamingCall<TRequest, TResponse>(
        ClientInterceptorContext<TRequest, TResponse> context,
        AsyncDuplexStreamingCallContinuation<TRequest, TResponse> continuation)
    {
        var call = continuation(context);
        return Interlocked.Increment(ref _opened) > 1
            ? call
            : new(
                new Breaking<TRequest>(call.RequestStream, before, call.Dispose), call.ResponseStream, call.ResponseHeadersAsync,
                call.GetStatus, call.GetTrailers, call.Dispose);
    }

    private sealed class Breaking<T>(IClientStreamWriter<T> stream, Task before, Action end) : IClientStreamWriter<T>
    {
        public WriteOptions? WriteOptions
        {
            get => stream.WriteOptions;
            set => stream.WriteOptions = value;
        }

        public Task WriteAsync(T message) => WriteAsync(message, CancellationToken.None);

        public async Task WriteAsync(T message, CancellationToken cancellationToken)
        {
            await stream.WriteAsync(message, cancellationToken);
            await before;
            end();
            throw new RpcException(new Status(StatusCode.Unavailable, "The connection is gone."));
        }

        public Task CompleteAsync() => stream.CompleteAsync();
    }
}
