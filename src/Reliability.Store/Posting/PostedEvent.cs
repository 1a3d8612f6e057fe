using System.Buffers.Binary;
using Reliability.History.Events;

namespace Reliability.Store.Posting;

/// <summary>An event on its way into the log.</summary>
/// <param name="Event">The event.</param>
/// <param name="BodyHash">First 64 bits of the SHA-256 of what it says; compared only between posts of one id.</param>
internal readonly record struct PostedEvent(RecordedEvent Event, long BodyHash)
{
    /// <summary>How much of a window it takes: each reading counts.</summary>
    public int Weight => Event.Body is RunHoursReadV1 read ? Math.Max(1, read.Readings.Count) : 1;

    public static PostedEvent Of(RecordedEvent recorded) => new(recorded, HashOf(recorded));

    public static long HashOf(RecordedEvent recorded)
    {
        Span<byte> hash = stackalloc byte[32];
        EventContent.Hash(recorded, hash);
        return BinaryPrimitives.ReadInt64BigEndian(hash);
    }
}
