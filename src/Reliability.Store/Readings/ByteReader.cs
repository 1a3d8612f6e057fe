using System.Buffers.Binary;

namespace Reliability.Store.Readings;

/// <summary>
/// Reads what <see cref="ByteWriter"/> wrote. Whatever the bytes are, it never reads beyond them and never makes more than
/// they can hold: wrong ones end in <see cref="InvalidDataException"/>.
/// </summary>
internal ref struct ByteReader(ReadOnlySpan<byte> bytes)
{
    /// <summary>No text of a reading is longer, in bytes.</summary>
    public const int LongestText = 4096;

    private readonly ReadOnlySpan<byte> _bytes = bytes;

    /// <summary>How many bytes were read.</summary>
    public int Place { get; private set; }

    public readonly int Left => _bytes.Length - Place;

    public readonly bool AtEnd => Left == 0;

    public byte Byte() => Take(1)[0];

    public ulong Number()
    {
        var value = 0UL;
        for (var shift = 0; shift < 64; shift += 7)
        {
            var next = Byte();
            if (shift == 63 && next > 1) break;
            value |= (ulong)(next & 0x7F) << shift;
            if (next < 0x80) return value;
        }
        throw Wrong("a number is longer than 64 bits");
    }

    public long Signed() => Zigzag.Back(Number());

    public double Double() => BitConverter.Int64BitsToDouble(BinaryPrimitives.ReadInt64LittleEndian(Take(8)));

    /// <summary>How many things follow, of which each takes at least so many bytes.</summary>
    public int Count(int leastBytes)
    {
        var count = Number();
        return count <= (ulong)(Left / leastBytes) ? (int)count : throw Wrong("more is announced than can follow");
    }

    /// <summary>Bytes behind their length.</summary>
    public ReadOnlySpan<byte> Counted() => Take(Count(1));

    public ReadOnlySpan<byte> Take(int count)
    {
        if (count > Left) throw Wrong("they end too early");
        var taken = _bytes.Slice(Place, count);
        Place += count;
        return taken;
    }

    public string Text() => Text([], 0);

    /// <summary>Text of which the first bytes are those of another.</summary>
    public string Text(scoped ReadOnlySpan<byte> before, int shared)
    {
        var own = Counted();
        if (shared > before.Length || shared + own.Length > LongestText) throw Wrong("a text is too long");
        Span<byte> whole = stackalloc byte[shared + own.Length];
        before[..shared].CopyTo(whole);
        own.CopyTo(whole[shared..]);
        try
        {
            return ByteWriter.Utf8.GetString(whole);
        }
        catch (ArgumentException exception)
        {
            throw new InvalidDataException("Stored readings cannot be read: a text is no UTF-8.", exception);
        }
    }

    /// <summary>The exception for bytes that are not what was written.</summary>
    public static InvalidDataException Wrong(string what) => new($"Stored readings cannot be read: {what}.");
}
