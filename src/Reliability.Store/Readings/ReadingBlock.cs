using Reliability.History.Events;

namespace Reliability.Store.Readings;

/// <summary>
/// The readings of one stream key in a sheet, one after the other. A block leans on nothing but the words of its sheet, so
/// that it can be filed with its module as it stands.
/// </summary>
internal static class ReadingBlock
{
    // Bits 0 and 1 of a reading's first byte say whose meter it is; see MeterOf.
    private const int MeterBits = 0b11;
    private const int OnDay = 1 << 2;
    private const int WindowGiven = 1 << 3;
    private const int OneAtOccurrence = 1 << 4;
    private const int UuidId = 1 << 5;
    private const int SharedId = 1 << 6;

    private const int LeastReadingBytes = 3;
    private const int UuidLength = 36;

    /// <summary>
    /// Whether an event can stand in a sheet: readings without a note, which can be erased, with times in UTC and texts of
    /// ordinary length. Others stand alone on their stream.
    /// </summary>
    public static bool CanHold(RecordedEvent posted) =>
        posted is { Note: null, Body: RunHoursReadV1 read }
        && IsUtc(posted.Occurrence.Earliest) && IsUtc(posted.Occurrence.Latest)
        && IsShort(posted.OriginalId) && IsShort(posted.Source) && IsShort(posted.ModuleId)
        && IsShort(posted.ActorId) && IsShort(posted.Occurrence.Zone)
        && read.Readings.All(reading => IsUtc(reading.Earliest) && IsUtc(reading.Latest));

    public static void Write(ByteWriter to, ReadingWords words, string key, ReadOnlySpan<RecordedEvent> readings)
    {
        Span<byte> before = stackalloc byte[ByteReader.LongestText];
        Span<byte> id = stackalloc byte[ByteReader.LongestText];
        var beforeLength = ByteWriter.Utf8.GetBytes(key, before);
        var time = ReadingTime.Epoch;
        foreach (var reading in readings)
        {
            var read = (RunHoursReadV1)reading.Body;
            var occurrence = reading.Occurrence;
            var flags = MeterCode(read.Meter);
            if (occurrence.Precision == TimePrecision.Day) flags |= OnDay;
            if (occurrence.Latest != occurrence.Earliest) flags |= WindowGiven;
            var one = read.Readings is [var only]
                && only.Earliest == occurrence.Earliest && only.Latest == occurrence.Latest;
            if (one) flags |= OneAtOccurrence;
            var place = to.Length;
            to.Byte((byte)flags);

            if (IsUuid(reading.OriginalId, out var uuid))
            {
                to.Patch(place, (byte)(flags | UuidId));
                uuid.TryWriteBytes(id, bigEndian: true, out var size);
                to.Bytes(id[..size]);
            }
            else
            {
                var length = ByteWriter.Utf8.GetBytes(reading.OriginalId, id);
                var shared = id[..length].CommonPrefixLength(before[..beforeLength]);
                if (shared > 1)
                {
                    to.Patch(place, (byte)(flags | SharedId));
                    to.Number((ulong)shared);
                }
                else
                {
                    shared = 0;
                }
                to.Counted(id[shared..length]);
                id[..length].CopyTo(before);
                beforeLength = length;
            }

            words.WriteOf(reading, to);
            ReadingTime.Write(to, occurrence.Earliest.Ticks, time);
            time = occurrence.Earliest.Ticks;
            if (occurrence.Latest != occurrence.Earliest) ReadingTime.Write(to, occurrence.Latest.Ticks, time);
            if (one)
            {
                ReadingHours.Write(to, read.Readings[0].Hours);
                continue;
            }
            to.Number((ulong)read.Readings.Count);
            foreach (var each in read.Readings)
            {
                ReadingTime.Write(to, each.Earliest.Ticks, time);
                ReadingTime.Write(to, each.Latest.Ticks, each.Earliest.Ticks);
                ReadingHours.Write(to, each.Hours);
            }
        }
    }

    /// <summary>Reads a block.</summary>
    /// <param name="block">Its bytes.</param>
    /// <param name="words">The words of its sheet.</param>
    /// <param name="organisation">The organisation, which the ids of events are made from.</param>
    /// <param name="key">The stream key whose readings they are.</param>
    /// <param name="recordTime">When the sheet was stored.</param>
    /// <exception cref="InvalidDataException">The bytes are not those of a block.</exception>
    public static List<RecordedEvent> Read(
        ReadOnlySpan<byte> block, ReadingWords words, string organisation, string key, DateTimeOffset recordTime)
    {
        var from = new ByteReader(block);
        var readings = new List<RecordedEvent>();
        var before = key;
        var time = ReadingTime.Epoch;
        while (!from.AtEnd)
        {
            var flags = from.Byte();
            if (flags > (MeterBits | OnDay | WindowGiven | OneAtOccurrence | UuidId | SharedId))
                throw ByteReader.Wrong("a reading is in no known form");
            var originalId = ReadId(ref from, flags, before);
            if ((flags & UuidId) == 0) before = originalId;

            var (source, actor, zone) = words.ReadOne(ref from);
            time = ReadingTime.Read(ref from, time);
            var earliest = new DateTimeOffset(time, TimeSpan.Zero);
            var latest = (flags & WindowGiven) == 0
                ? earliest
                : new DateTimeOffset(ReadingTime.Read(ref from, time), TimeSpan.Zero);
            readings.Add(new RecordedEvent
            {
                EventId = EventIdentity.EventId(organisation, source, originalId),
                OriginalId = originalId,
                Source = source,
                ModuleId = key,
                Occurrence = new Occurrence
                {
                    Earliest = earliest,
                    Latest = latest,
                    Precision = (flags & OnDay) == 0 ? TimePrecision.Instant : TimePrecision.Day,
                    Zone = zone,
                },
                RecordTime = recordTime,
                ActorId = actor,
                Body = new RunHoursReadV1
                {
                    Meter = MeterOf(flags & MeterBits),
                    Readings = (flags & OneAtOccurrence) == 0
                        ? ReadSeveral(ref from, time)
                        : [new MeterReading { Earliest = earliest, Latest = latest, Hours = ReadingHours.Read(ref from) }],
                },
            });
        }
        return readings;
    }

    private static string ReadId(ref ByteReader from, byte flags, string before)
    {
        if ((flags & UuidId) != 0) return new Guid(from.Take(16), bigEndian: true).ToString("D");
        if ((flags & SharedId) == 0) return from.Text();
        Span<byte> whole = stackalloc byte[ByteReader.LongestText];
        var length = ByteWriter.Utf8.GetBytes(before, whole);
        var shared = from.Number();
        return shared <= (ulong)length
            ? from.Text(whole[..length], (int)shared)
            : throw ByteReader.Wrong("an id shares more than there is");
    }

    private static MeterReading[] ReadSeveral(ref ByteReader from, long time)
    {
        var readings = new MeterReading[from.Count(LeastReadingBytes)];
        for (var i = 0; i < readings.Length; i++)
        {
            var earliest = ReadingTime.Read(ref from, time);
            readings[i] = new MeterReading
            {
                Earliest = new DateTimeOffset(earliest, TimeSpan.Zero),
                Latest = new DateTimeOffset(ReadingTime.Read(ref from, earliest), TimeSpan.Zero),
                Hours = ReadingHours.Read(ref from),
            };
        }
        return readings;
    }

    private static int MeterCode(MeterOwner? meter) => meter switch
    {
        null => 0,
        MeterOwner.Module => 1,
        MeterOwner.Host => 2,
        _ => throw new ArgumentOutOfRangeException(nameof(meter), meter, "Not an owner of a meter."),
    };

    private static MeterOwner? MeterOf(int code) => code switch
    {
        0 => null,
        1 => MeterOwner.Module,
        2 => MeterOwner.Host,
        _ => throw ByteReader.Wrong("a meter has no known owner"),
    };

    /// <summary>Whether a text is what <see cref="Guid.ToString(string)"/> gives back for its 16 bytes.</summary>
    private static bool IsUuid(string text, out Guid uuid)
    {
        uuid = default;
        // Parsing alone is too kind: it takes capitals, and signs or 0x in front of a part.
        Span<char> back = stackalloc char[UuidLength];
        return text.Length == UuidLength
            && Guid.TryParseExact(text, "D", out uuid)
            && uuid.TryFormat(back, out _, "D")
            && text.AsSpan().SequenceEqual(back);
    }

    // A character takes at most three bytes in UTF-8.
    private static bool IsShort(string? text) => text is null || text.Length <= ByteReader.LongestText / 3;

    private static bool IsUtc(DateTimeOffset time) => time.Offset == TimeSpan.Zero;
}
