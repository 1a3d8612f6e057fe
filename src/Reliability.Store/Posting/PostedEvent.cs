using Reliability.History.Events;

namespace Reliability.Store.Posting;

/// <summary>An event on its way into the log.</summary>
/// <param name="Event">The event.</param>
/// <param name="BodyHash">First 128 bits of the SHA-256 of what it says.</param>
internal readonly record struct PostedEvent(RecordedEvent Event, Guid BodyHash)
{
    public static PostedEvent Of(RecordedEvent recorded) =>
        new(recorded, new Guid(EventContent.Hash(recorded).AsSpan(0, 16), bigEndian: true));
}
