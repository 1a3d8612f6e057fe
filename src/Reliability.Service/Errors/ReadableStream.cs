using Grpc.Core;

namespace Reliability.Service.Errors;

/// <summary>
/// A caller's stream of which a message that cannot be read ends the call as <see cref="UnreadableMessages.Status"/>: the
/// endpoint reads it, but it is the caller's fault.
/// </summary>
internal sealed class ReadableStream<T>(IAsyncStreamReader<T> messages, CancellationToken callerLeft) : IAsyncStreamReader<T>
{
    public T Current => messages.Current;

    public async Task<bool> MoveNext(CancellationToken cancellationToken)
    {
        try
        {
            return await messages.MoveNext(cancellationToken);
        }
        catch (Exception unreadable) when (unreadable is IOException or InvalidDataException && !callerLeft.IsCancellationRequested)
        {
            // The parser of protobuf and the reader of frames throw these; so does a connection that is cut, which cancels.
            throw UnreadableMessages.Status.ToRpcException();
        }
    }
}
