using Grpc.Core;
using Reliability.Service.Errors;

namespace Reliability.Service.Uploads;

/// <summary>The bytes of an upload that comes as messages, read as one stream: a message at a time, when it is asked for.</summary>
internal sealed class ChunkStream(IAsyncStreamReader<V1.UploadEventsRequest> messages, SenderPatience patience) : ForwardStream
{
    private ReadOnlyMemory<byte> _chunk;

    public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        if (_chunk.IsEmpty && !await patience.ReadAsync(ComesAsync, cancellationToken))
            return 0;
        var taken = Math.Min(buffer.Length, _chunk.Length);
        _chunk[..taken].CopyTo(buffer);
        _chunk = _chunk[taken..];
        return taken;
    }

    // Messages without a byte are nothing that comes.
    private async Task<bool> ComesAsync(CancellationToken over)
    {
        while (_chunk.IsEmpty)
        {
            if (!await messages.MoveNext(over))
                return false;
            if (messages.Current.PartCase != V1.UploadEventsRequest.PartOneofCase.Content)
                throw Refusals.InvalidField("part", "must be content in every message but the first");
            _chunk = messages.Current.Content.Memory;
        }

        return true;
    }
}
