using System.Runtime.InteropServices;
using JasperFx.Events;
using Reliability.History.Events;

namespace Reliability.Store.Readings;

/// <summary>
/// Readings of many modules that were committed together: one event of the log. It is kept as the bytes that are stored,
/// and only what is asked for is read out of them.
/// </summary>
/// <remarks>
/// Form 1: a byte with the number of the form; the words that readings share, behind their length; the number of keys; for
/// each key, in ordinal order, how much of it is that of the key before, the rest, and the length of its block; the blocks.
/// </remarks>
[BinaryEvent]
internal sealed class ReadingSheet(byte[] bytes)
{
    /// <summary>Name in the log.</summary>
    public const string KindName = "readings_v1";

    private const byte Form = 1;
    private const int LeastKeyBytes = 3;

    /// <summary>The stored bytes.</summary>
    public byte[] Bytes { get; } = bytes;

    /// <summary>Makes a sheet of readings, each of which <see cref="ReadingBlock.CanHold"/>.</summary>
    /// <param name="readings">The readings, in any order; those of one key keep theirs.</param>
    public static ReadingSheet Of(IEnumerable<RecordedEvent> readings)
    {
        var sorted = readings.OrderBy(reading => reading.ModuleId, StringComparer.Ordinal).ToList();
        var words = ReadingWords.Of(sorted);
        var (sheet, keys, blocks) = (new ByteWriter(), new ByteWriter(), new ByteWriter());
        words.Write(keys);
        sheet.Byte(Form);
        sheet.Counted(keys.Written);
        keys.Clear();

        var count = 0UL;
        byte[] before = [];
        var left = (ReadOnlySpan<RecordedEvent>)CollectionsMarshal.AsSpan(sorted);
        while (!left.IsEmpty)
        {
            var key = left[0].ModuleId;
            var length = 1;
            while (length < left.Length && left[length].ModuleId == key) length++;
            var start = blocks.Length;
            ReadingBlock.Write(blocks, words, key, left[..length]);
            left = left[length..];

            var bytes = ByteWriter.Utf8.GetBytes(key);
            var shared = bytes.AsSpan().CommonPrefixLength(before);
            keys.Number((ulong)shared);
            keys.Counted(bytes.AsSpan(shared));
            keys.Number((ulong)(blocks.Length - start));
            before = bytes;
            count++;
        }
        sheet.Number(count);
        sheet.Bytes(keys.Written);
        sheet.Bytes(blocks.Written);
        return new ReadingSheet(sheet.Written.ToArray());
    }

    /// <summary>The bytes of the words that its readings share.</summary>
    /// <exception cref="InvalidDataException">The bytes are not those of a sheet.</exception>
    public ReadOnlySpan<byte> WordBytes() => Open().Counted();

    /// <summary>Where the block of each key is.</summary>
    /// <exception cref="InvalidDataException">The bytes are not those of a sheet.</exception>
    public List<SheetBlock> Blocks()
    {
        var from = Open();
        _ = from.Counted();
        var count = from.Count(LeastKeyBytes);
        var blocks = new List<SheetBlock>(count);
        Span<byte> key = stackalloc byte[ByteReader.LongestText];
        var keyLength = 0;
        var start = 0L;
        for (; count > 0; count--)
        {
            var shared = from.Number();
            var own = from.Counted();
            if (shared > (ulong)keyLength || (int)shared + own.Length > key.Length)
                throw ByteReader.Wrong("a key is in no known form");
            own.CopyTo(key[(int)shared..]);
            keyLength = (int)shared + own.Length;
            var length = from.Number();
            if (length > (ulong)from.Left) throw ByteReader.Wrong("a block is longer than its sheet");
            blocks.Add(new SheetBlock(KeyText(key[..keyLength]), (int)start, (int)length));
            start += (long)length;
        }
        if (start != from.Left) throw ByteReader.Wrong("the blocks do not fill the sheet");
        var offset = from.Place;
        for (var i = 0; i < blocks.Count; i++) blocks[i] = blocks[i] with { Start = blocks[i].Start + offset };
        return blocks;
    }

    /// <summary>The bytes of a block of this sheet.</summary>
    public ReadOnlySpan<byte> BytesOf(SheetBlock block) => Bytes.AsSpan(block.Start, block.Length);

    /// <summary>All its readings.</summary>
    /// <param name="organisation">The organisation that it belongs to.</param>
    /// <param name="recordTime">When it was stored.</param>
    /// <exception cref="InvalidDataException">The bytes are not those of a sheet.</exception>
    public IEnumerable<RecordedEvent> Readings(string organisation, DateTimeOffset recordTime)
    {
        var words = ReadingWords.Read(WordBytes());
        return Blocks().SelectMany(block => ReadingBlock.Read(BytesOf(block), words, organisation, block.Key, recordTime));
    }

    private static string KeyText(ReadOnlySpan<byte> key)
    {
        try
        {
            return ByteWriter.Utf8.GetString(key);
        }
        catch (ArgumentException exception)
        {
            throw new InvalidDataException("Stored readings cannot be read: a key is no UTF-8.", exception);
        }
    }

    private ByteReader Open()
    {
        var from = new ByteReader(Bytes);
        return from.Byte() == Form ? from : throw ByteReader.Wrong("they are in a form that a newer version wrote");
    }
}
