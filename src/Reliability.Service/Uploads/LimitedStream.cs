using System.Globalization;
using Grpc.Core;
using Reliability.Service.Errors;

namespace Reliability.Service.Uploads;

/// <summary>A stream that refuses to be longer than a file may be.</summary>
internal sealed class LimitedStream(Stream inner) : Stream
{
    private long _read;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    /// <exception cref="RpcException">RESOURCE_EXHAUSTED: the file is too long.</exception>
    public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        var read = await inner.ReadAsync(buffer, cancellationToken);
        _read += read;
        return _read <= UploadLimits.MaxFileBytes ? read : throw TooLong();
    }

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
            inner.Dispose();
        base.Dispose(disposing);
    }

    private static RpcException TooLong()
    {
        var violations = new Violations();
        violations.AddLimit("file", string.Create(
            CultureInfo.InvariantCulture,
            $"must not have more than {UploadLimits.MaxFileBytes / (1024 * 1024):N0} MiB; what came before is recorded, post the rest in another file"));
        return violations.ToStatus().ToRpcException();
    }
}
