using System.Buffers.Binary;
using System.Text;

namespace Reliability.History.Events;

/// <summary>
/// Bytes to be hashed. Texts stand behind their length and all else has a fixed one, so that no two lists of parts of the
/// same kinds make the same bytes.
/// </summary>
/// <param name="room">Room to begin with, such as on the stack; more is taken where it does not suffice.</param>
internal ref struct HashedBytes(Span<byte> room)
{
    private Span<byte> _room = room;
    private int _length;

    /// <summary>What was added.</summary>
    public readonly ReadOnlySpan<byte> Written => _room[.._length];

    /// <summary>A text: the number of its bytes in UTF-8, then these.</summary>
    public void Add(string text)
    {
        var count = Encoding.UTF8.GetByteCount(text);
        Add(count);
        Encoding.UTF8.GetBytes(text, Take(count));
    }

    /// <summary>A number of 32 bits, big-endian.</summary>
    public void Add(int number) => BinaryPrimitives.WriteInt32BigEndian(Take(sizeof(int)), number);

    /// <summary>A number of 64 bits, big-endian.</summary>
    public void Add(long number) => BinaryPrimitives.WriteInt64BigEndian(Take(sizeof(long)), number);

    /// <summary>The bits of a number.</summary>
    public void Add(double number) => Add(BitConverter.DoubleToInt64Bits(number));

    /// <summary>Bytes as they are.</summary>
    public void Add(scoped ReadOnlySpan<byte> bytes) => bytes.CopyTo(Take(bytes.Length));

    private Span<byte> Take(int count)
    {
        if (_length + count > _room.Length)
        {
            var larger = new byte[Math.Max(_length + count, 2 * _room.Length)];
            Written.CopyTo(larger);
            _room = larger;
        }

        _length += count;
        return _room.Slice(_length - count, count);
    }
}
