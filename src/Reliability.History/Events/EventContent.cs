using System.Security.Cryptography;
using System.Text.Json;

namespace Reliability.History.Events;

/// <summary>
/// Tells whether two posts say the same: module, occurrence and body. Ids, record time, note and actor play no part: a
/// note can be erased and a post can be repeated by somebody else.
/// </summary>
public static class EventContent
{
    /// <summary>SHA-256 of what the event says, 32 bytes; the same on every machine and in every run.</summary>
    /// <param name="recorded">The event.</param>
    public static byte[] Hash(RecordedEvent recorded)
    {
        var said = new RecordedEvent
        {
            EventId = Guid.Empty,
            OriginalId = string.Empty,
            Source = string.Empty,
            ModuleId = recorded.ModuleId,
            Occurrence = recorded.Occurrence,
            Body = recorded.Body,
        };
        return SHA256.HashData(JsonSerializer.SerializeToUtf8Bytes(said, HistoryJsonContext.Default.RecordedEvent));
    }

    /// <summary>Whether two posts say the same.</summary>
    /// <param name="one">A post.</param>
    /// <param name="other">Another post.</param>
    public static bool SaysTheSame(RecordedEvent one, RecordedEvent other) =>
        Hash(one).AsSpan().SequenceEqual(Hash(other));
}
