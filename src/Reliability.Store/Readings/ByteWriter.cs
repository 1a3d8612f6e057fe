using System.Buffers.Binary;
using System.Numerics;
using System.Text;

namespace Reliability.Store.Readings;

/// <summary>Writes the compact bytes of readings: numbers in as few bytes as they need, texts as UTF-8.</summary>
internal sealed class ByteWriter
{
    /// <summary>Throws for text that is no Unicode: replaced characters would be another text.</summary>
    public static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    private byte[] _bytes = new byte[256];

    public int Length { get; private set; }

    public ReadOnlySpan<byte> Written => _bytes.AsSpan(0, Length);

    public void Clear() => Length = 0;

    public void Byte(byte value) => Room(1)[0] = value;

    /// <summary>Overwrites a byte that was written before.</summary>
    public void Patch(int at, byte value) => _bytes[at] = value;

    /// <summary>Seven bits a byte, the lowest first; the eighth says that more follow.</summary>
    public void Number(ulong value)
    {
        var size = (BitOperations.Log2(value | 1) / 7) + 1;
        var room = Room(size);
        for (var i = 0; i < size - 1; i++, value >>= 7) room[i] = (byte)((value & 0x7F) | 0x80);
        room[size - 1] = (byte)value;
    }

    /// <summary>A number of either sign, small ones of both signs in few bytes.</summary>
    public void Signed(long value) => Number(Zigzag.Of(value));

    public void Double(double value) =>
        BinaryPrimitives.WriteInt64LittleEndian(Room(8), BitConverter.DoubleToInt64Bits(value));

    public void Bytes(ReadOnlySpan<byte> bytes) => bytes.CopyTo(Room(bytes.Length));

    /// <summary>Bytes behind their length.</summary>
    public void Counted(ReadOnlySpan<byte> bytes)
    {
        Number((ulong)bytes.Length);
        Bytes(bytes);
    }

    /// <summary>Text behind its length in bytes.</summary>
    /// <exception cref="EncoderFallbackException">It is no Unicode.</exception>
    public void Text(string text)
    {
        var size = Utf8.GetByteCount(text);
        Number((ulong)size);
        Utf8.GetBytes(text, Room(size));
    }

    private Span<byte> Room(int size)
    {
        if (_bytes.Length - Length < size) Array.Resize(ref _bytes, Math.Max(_bytes.Length * 2, Length + size));
        var room = _bytes.AsSpan(Length, size);
        Length += size;
        return room;
    }
}
