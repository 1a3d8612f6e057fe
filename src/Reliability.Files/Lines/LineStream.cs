namespace Reliability.Files.Lines;

/// <summary>
/// Lines as a stream of bytes again, for a parser of its own. A line that cannot be used goes in as a placeholder of one
/// sign, so that the parser never sees it and counts it all the same.
/// </summary>
internal sealed class LineStream(SourceLines lines, ReadOnlyMemory<byte> firstLine) : Stream
{
    private static readonly byte[] Placeholder = "?"u8.ToArray();

    private readonly Dictionary<long, (string Problem, string Text)> _unusable = [];
    private ReadOnlyMemory<byte> _line = firstLine;
    private bool _inLine = true;

    /// <inheritdoc />
    public override bool CanRead => true;

    /// <inheritdoc />
    public override bool CanSeek => false;

    /// <inheritdoc />
    public override bool CanWrite => false;

    /// <inheritdoc />
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc />
    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    /// <summary>Whether a line could not be used, and why; asked once a line.</summary>
    public bool TryTakeUnusable(long number, out (string Problem, string Text) line) => _unusable.Remove(number, out line);

    /// <inheritdoc />
    public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        int written = 0;
        while (written < buffer.Length)
        {
            if (_inLine)
            {
                int taken = Math.Min(_line.Length, buffer.Length - written);
                _line.Span[..taken].CopyTo(buffer.Span[written..]);
                _line = _line[taken..];
                written += taken;
                if (_line.Length > 0 || written == buffer.Length)
                    break;
                buffer.Span[written++] = (byte)'\n';
                _inLine = false;
            }
            else
            {
                // What is there is given at once: a sender may pause, or be gone, and its rows must not wait for more of them.
                if (written > 0 && !lines.HasLine)
                    break;
                if (await lines.NextAsync(cancellationToken).ConfigureAwait(false) is not SourceLine next)
                    break;
                if (next.Problem is string problem)
                    _unusable[next.Number] = (problem, System.Text.Encoding.UTF8.GetString(next.Text.Span));
                _line = next.Problem is null ? next.Text : Placeholder;
                _inLine = true;
            }
        }
        return written;
    }

    /// <inheritdoc />
    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc />
    public override void Flush()
    {
    }

    /// <inheritdoc />
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc />
    public override void SetLength(long value) => throw new NotSupportedException();

    /// <inheritdoc />
    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
