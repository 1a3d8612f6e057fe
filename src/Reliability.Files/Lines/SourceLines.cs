using System.Text.Unicode;

namespace Reliability.Files.Lines;

/// <summary>
/// Cuts a stream of bytes into lines that can be trusted: of bounded length, UTF-8, without NUL. A line that is not so
/// comes as one that cannot be used, and the lines after it are read all the same. Lines end with LF, CR LF or CR, mixed
/// as they may be. Memory is bounded by the longest line that is taken.
/// </summary>
public sealed class SourceLines : IAsyncDisposable
{
    private const int FirstBuffer = 1 << 16;
    private const int ShownOfLongLine = 200;

    private readonly Stream _stream;
    private readonly TextEncoding _encoding;
    private readonly string _file;
    private byte[] _buffer = new byte[FirstBuffer];
    private byte[] _converted = [];
    private int _start;
    private int _end;
    private long _line;
    private bool _atEnd;
    private bool _begun;
    private bool _afterCarriageReturn;

    /// <summary>Reads a stream, which it owns from now on.</summary>
    /// <param name="stream">The bytes.</param>
    /// <param name="file">What its user calls the file, for messages.</param>
    /// <param name="encoding">How its text is stored.</param>
    public SourceLines(Stream stream, string file, TextEncoding encoding = TextEncoding.Utf8) =>
        (_stream, _file, _encoding) = (stream, file, encoding);

    /// <summary>What its user calls the file.</summary>
    public string File => _file;

    /// <summary>How its text is stored.</summary>
    public TextEncoding Encoding => _encoding;

    /// <summary>Whether the next line is here already, so that nothing has to be read for it.</summary>
    internal bool HasLine
    {
        get
        {
            ReadOnlySpan<byte> here = _buffer.AsSpan(_start, _end - _start);
            if (_afterCarriageReturn && here is [(byte)'\n', ..])
                here = here[1..];
            return here.IndexOfAny((byte)'\n', (byte)'\r') >= 0;
        }
    }

    /// <summary>Reads the next line; null at the end.</summary>
    /// <exception cref="FileUnusableException">The file is UTF-16.</exception>
    public async ValueTask<SourceLine?> NextAsync(CancellationToken cancellation)
    {
        if (!_begun)
            await BeginAsync(cancellation).ConfigureAwait(false);
        int searched = 0;
        while (true)
        {
            if (_afterCarriageReturn && _end > _start)
            {
                _afterCarriageReturn = false;
                if (_buffer[_start] == '\n')
                    _start++;
            }
            int found = _buffer.AsSpan(_start + searched, _end - _start - searched).IndexOfAny((byte)'\n', (byte)'\r');
            if (found >= 0)
                return Take(searched + found);
            searched = _end - _start;
            if (searched > FileLimits.MaxLineBytes)
                return await SkipLongLineAsync(cancellation).ConfigureAwait(false);
            if (!await FillAsync(cancellation).ConfigureAwait(false))
                return searched > 0 ? Take(searched) : null;
        }
    }

    /// <inheritdoc />
    public ValueTask DisposeAsync() => _stream.DisposeAsync();

    private async ValueTask BeginAsync(CancellationToken cancellation)
    {
        _begun = true;
        while (_end < 3 && await FillAsync(cancellation).ConfigureAwait(false))
        {
        }
        ReadOnlySpan<byte> first = _buffer.AsSpan(0, _end);
        if (first.StartsWith<byte>([0xFF, 0xFE]) || first.StartsWith<byte>([0xFE, 0xFF]))
            throw new FileUnusableException(_file, new FileProblem("", "the file is UTF-16. Save it as UTF-8."));
        if (first.StartsWith<byte>([0xEF, 0xBB, 0xBF]))
            _start = 3;
    }

    /// <summary>Takes the bytes up to an end of line, or of the file.</summary>
    private SourceLine Take(int length)
    {
        ReadOnlyMemory<byte> bytes = _buffer.AsMemory(_start, length);
        _start += length;
        if (_start < _end)
        {
            _afterCarriageReturn = _buffer[_start] == '\r';
            _start++;
        }
        _line++;
        if (length > FileLimits.MaxLineBytes)
            return TooLong(bytes.Span[..ShownOfLongLine]);
        if (bytes.Span.Contains((byte)0))
            return Unusable(bytes.Span, "the line holds a NUL byte: the file seems to be binary");
        if (_encoding == TextEncoding.Latin1)
            return new SourceLine(_line, FromLatin1(bytes.Span), null);
        return Utf8.IsValid(bytes.Span)
            ? new SourceLine(_line, bytes, null)
            : Unusable(bytes.Span, "the text is not UTF-8. Save it as UTF-8");
    }

    private async ValueTask<SourceLine> SkipLongLineAsync(CancellationToken cancellation)
    {
        _line++;
        byte[] shown = _buffer.AsSpan(_start, ShownOfLongLine).ToArray();
        while (true)
        {
            int found = _buffer.AsSpan(_start, _end - _start).IndexOfAny((byte)'\n', (byte)'\r');
            if (found >= 0)
            {
                _start += found;
                _afterCarriageReturn = _buffer[_start] == '\r';
                _start++;
                return TooLong(shown);
            }
            _start = _end;
            if (!await FillAsync(cancellation).ConfigureAwait(false))
                return TooLong(shown);
        }
    }

    private SourceLine TooLong(ReadOnlySpan<byte> shown) =>
        Unusable([.. shown, .. "..."u8], $"the line is longer than {FileLimits.MaxLineBytes / 1024:N0} KiB");

    private SourceLine Unusable(ReadOnlySpan<byte> bytes, string problem)
    {
        // What is not text becomes the replacement character, so that the row can be shown, stored and sent.
        string text = (_encoding == TextEncoding.Latin1 ? System.Text.Encoding.Latin1 : System.Text.Encoding.UTF8)
            .GetString(bytes).Replace('\0', '\uFFFD');
        return new SourceLine(_line, System.Text.Encoding.UTF8.GetBytes(text), problem);
    }

    /// <summary>ISO 8859-1 are the first 256 characters of Unicode: one byte becomes one or two.</summary>
    private ReadOnlyMemory<byte> FromLatin1(ReadOnlySpan<byte> bytes)
    {
        if (_converted.Length < 2 * bytes.Length)
            _converted = new byte[2 * bytes.Length];
        int written = 0;
        foreach (byte b in bytes)
        {
            if (b < 0x80)
            {
                _converted[written++] = b;
            }
            else
            {
                _converted[written++] = (byte)(0xC0 | (b >> 6));
                _converted[written++] = (byte)(0x80 | (b & 0x3F));
            }
        }
        return _converted.AsMemory(0, written);
    }

    /// <summary>Reads more bytes behind those that are there; false at the end.</summary>
    private async ValueTask<bool> FillAsync(CancellationToken cancellation)
    {
        if (_atEnd)
            return false;
        if (_start == _end)
            _start = _end = 0;
        if (_end == _buffer.Length)
        {
            if (_start > 0)
            {
                _buffer.AsSpan(_start, _end - _start).CopyTo(_buffer);
                (_start, _end) = (0, _end - _start);
            }
            else
            {
                Array.Resize(ref _buffer, 2 * _buffer.Length);
            }
        }
        int read = await _stream.ReadAsync(_buffer.AsMemory(_end), cancellation).ConfigureAwait(false);
        _atEnd = read == 0;
        _end += read;
        return read > 0;
    }
}
