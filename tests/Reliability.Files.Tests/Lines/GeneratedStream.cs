namespace Reliability.Files.Tests.Lines;

/// <summary>A stream of any length whose bytes are made as they are read: nothing of it is held.</summary>
/// <param name="head">What it begins with.</param>
/// <param name="row">Makes the row of a number, with its end of line.</param>
/// <param name="length">At how many bytes it ends, with the row that reaches them.</param>
internal sealed class GeneratedStream(byte[] head, Func<int, byte[]> row, long length) : Stream
{
    private ReadOnlyMemory<byte> _rest = head;
    private long _made = head.Length;
    private int _row;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => length;

    public override long Position { get => _made - _rest.Length; set => throw new NotSupportedException(); }

    public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        if (_rest.IsEmpty && _made < length)
        {
            _rest = row(_row++);
            _made += _rest.Length;
        }
        int taken = Math.Min(buffer.Length, _rest.Length);
        _rest[..taken].CopyTo(buffer);
        _rest = _rest[taken..];
        return ValueTask.FromResult(taken);
    }

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
