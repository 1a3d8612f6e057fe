using System.Globalization;
using Grpc.Core;
using Reliability.Service.Errors;

namespace Reliability.Service.Uploads;

/// <summary>A stream that refuses to be longer than a file may be, and to go on when the service stops.</summary>
internal sealed class LimitedStream(Stream inner, long maxBytes, SenderPatience patience) : ForwardStream
{
    private const long Mebibyte = 1024 * 1024;

    private long _read;

    /// <exception cref="RpcException">RESOURCE_EXHAUSTED: the file is too long. UNAVAILABLE: the service stops.</exception>
    public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        patience.ThrowIfStopping();
        // What lies within the limit is read to its last byte before a byte beyond it is refused.
        if (_read == maxBytes)
            return await inner.ReadAsync(new byte[1], cancellationToken) == 0 ? 0 : throw TooLong();
        var read = await inner.ReadAsync(buffer[..(int)Math.Min(buffer.Length, maxBytes - _read)], cancellationToken);
        _read += read;
        return read;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
            inner.Dispose();
        base.Dispose(disposing);
    }

    private RpcException TooLong()
    {
        var most = maxBytes % Mebibyte == 0
            ? string.Create(CultureInfo.InvariantCulture, $"{maxBytes / Mebibyte:N0} MiB")
            : string.Create(CultureInfo.InvariantCulture, $"{maxBytes:N0} bytes");
        var violations = new Violations();
        violations.AddLimit("file", $"must not have more than {most}; the rows read before are recorded, post the rest in another file");
        return violations.ToStatus().ToRpcException();
    }
}
