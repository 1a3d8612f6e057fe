using Reliability.History.Events;

namespace Reliability.Store.Readings;

/// <summary>
/// The readings of one key out of several sheets, as they are filed: the blocks of the sheets as they stand, each with
/// position and time of its sheet, behind the words that they share.
/// </summary>
/// <remarks>
/// Form 1: a byte with the number of the form, then groups: the bytes of the words behind their length, the number of
/// blocks, and for each block the difference in position and in time from the one before, its length, its bytes.
/// </remarks>
internal static class FiledBytes
{
    private const byte Form = 1;
    private const int LeastBlockBytes = 3;

    /// <summary>Writes blocks of one key, in order of position.</summary>
    public static byte[] Write(ByteWriter scratch, ReadOnlySpan<(StoredSheet Sheet, SheetBlock Block)> blocks)
    {
        scratch.Clear();
        scratch.Byte(Form);
        var (position, time) = (0L, ReadingTime.Epoch);
        while (!blocks.IsEmpty)
        {
            var words = blocks[0].Sheet.Sheet.WordBytes();
            var count = 1;
            while (count < blocks.Length && blocks[count].Sheet.Sheet.WordBytes().SequenceEqual(words)) count++;
            scratch.Counted(words);
            scratch.Number((ulong)count);
            foreach (var (sheet, block) in blocks[..count])
            {
                scratch.Signed(sheet.Position - position);
                scratch.Signed(sheet.RecordTime.UtcTicks - time);
                scratch.Counted(sheet.Sheet.BytesOf(block));
                (position, time) = (sheet.Position, sheet.RecordTime.UtcTicks);
            }
            blocks = blocks[count..];
        }
        return scratch.Written.ToArray();
    }

    /// <summary>Reads them.</summary>
    /// <param name="bytes">What was filed.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="key">The stream key whose readings they are.</param>
    /// <param name="seen">Positions taken already, which are passed over; those read are added.</param>
    /// <param name="into">Where the readings go, each with the position of its sheet.</param>
    /// <exception cref="InvalidDataException">The bytes are not those of filed readings.</exception>
    public static void Read(
        ReadOnlySpan<byte> bytes, string organisation, string key, HashSet<long> seen,
        List<(long Position, RecordedEvent Event)> into)
    {
        var from = new ByteReader(bytes);
        if (from.Byte() != Form) throw ByteReader.Wrong("they are filed in a form that a newer version wrote");
        var (position, time) = (0L, ReadingTime.Epoch);
        while (!from.AtEnd)
        {
            var words = ReadingWords.Read(from.Counted());
            for (var count = from.Count(LeastBlockBytes); count > 0; count--)
            {
                position = unchecked(position + from.Signed());
                time = unchecked(time + from.Signed());
                if (time < DateTime.MinValue.Ticks || time > DateTime.MaxValue.Ticks)
                    throw ByteReader.Wrong("a record time is out of range");
                var block = from.Counted();
                if (!seen.Add(position)) continue;
                var recordTime = new DateTimeOffset(time, TimeSpan.Zero);
                foreach (var reading in ReadingBlock.Read(block, words, organisation, key, recordTime))
                    into.Add((position, reading));
            }
        }
    }
}
