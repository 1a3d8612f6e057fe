using System.Security.Cryptography;
using System.Text.Json;

namespace Reliability.History.Events;

/// <summary>
/// Tells whether two posts say the same: module, occurrence and body. Ids, record time, note and actor play no part: a
/// note can be erased and a post can be repeated by somebody else.
/// </summary>
public static class EventContent
{
    // The first byte of what is hashed of readings; JSON begins with a brace.
    private const byte ReadingsForm = 1;

    /// <summary>SHA-256 of what the event says, 32 bytes; the same on every machine and in every run.</summary>
    /// <param name="recorded">The event.</param>
    public static byte[] Hash(RecordedEvent recorded)
    {
        var hash = new byte[SHA256.HashSizeInBytes];
        Hash(recorded, hash);
        return hash;
    }

    /// <summary>
    /// The same, without an array of its own. Of readings, which are nearly all events, a compact form is hashed: the form's
    /// byte; the module; the occurrence; the meter (0 not said, 1 the module's, 2 the host's); how many readings, and each.
    /// A time is two numbers of 64 bits, earliest and latest in ticks of UTC; hours are the bits of the number; a text stands
    /// behind its length. Of other kinds their JSON is hashed.
    /// </summary>
    /// <param name="recorded">The event.</param>
    /// <param name="hash">Gets the hash, 32 bytes.</param>
    public static void Hash(RecordedEvent recorded, Span<byte> hash)
    {
        if (recorded.Body is RunHoursReadV1 read)
            HashReadings(recorded, read, hash);
        else
            SHA256.HashData(Json(recorded), hash);
    }

    /// <summary>Whether two posts say the same.</summary>
    /// <param name="one">A post.</param>
    /// <param name="other">Another post.</param>
    public static bool SaysTheSame(RecordedEvent one, RecordedEvent other) =>
        Hash(one).AsSpan().SequenceEqual(Hash(other));

    private static void HashReadings(RecordedEvent recorded, RunHoursReadV1 read, Span<byte> hash)
    {
        var said = new HashedBytes(stackalloc byte[512]);
        said.Add([ReadingsForm]);
        said.Add(recorded.ModuleId);
        said.Add(recorded.Occurrence.Earliest.UtcTicks);
        said.Add(recorded.Occurrence.Latest.UtcTicks);
        said.Add((int)recorded.Occurrence.Precision);
        // No zone has an empty name.
        said.Add(recorded.Occurrence.Zone ?? string.Empty);
        said.Add(read.Meter switch { null => 0, MeterOwner.Module => 1, _ => 2 });
        said.Add(read.Readings.Count);
        foreach (var reading in read.Readings)
        {
            said.Add(reading.Earliest.UtcTicks);
            said.Add(reading.Latest.UtcTicks);
            said.Add(reading.Hours);
        }

        SHA256.HashData(said.Written, hash);
    }

    private static byte[] Json(RecordedEvent recorded) => JsonSerializer.SerializeToUtf8Bytes(
        new RecordedEvent
        {
            EventId = Guid.Empty,
            OriginalId = string.Empty,
            Source = string.Empty,
            ModuleId = recorded.ModuleId,
            Occurrence = recorded.Occurrence,
            Body = recorded.Body,
        },
        HistoryJsonContext.Default.RecordedEvent);
}
