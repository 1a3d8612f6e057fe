using Google.Protobuf.WellKnownTypes;
using NodaTime;
using Reliability.History.Events;

namespace Reliability.Service.Events;

/// <summary>Turns times of the wire into windows of UTC: an instant, or the local day that holds it.</summary>
internal sealed class EventTimes(DateTimeZone defaultZone)
{
    private static readonly DateTimeOffset First = new(1900, 1, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset End = new(3000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>The rule for times of events, in words.</summary>
    public const string Rule = "must be a time between the years 1900 and 2999";

    /// <summary>The zone in which a day is meant, by its IANA name or the service's own when empty; null when unknown.</summary>
    public DateTimeZone? Zone(string name) =>
        name.Length == 0 ? defaultZone : DateTimeZoneProviders.Tzdb.GetZoneOrNull(name);

    /// <summary>Whether the time may be that of an event.</summary>
    public static bool IsValid(Timestamp time) =>
        Validation.Times.IsValid(time) && time.ToDateTimeOffset() is var instant && instant >= First && instant < End;

    /// <summary>The window in which something happened.</summary>
    /// <param name="time">A valid time.</param>
    /// <param name="dayZone">The zone when a day is meant, null when the instant is.</param>
    public static Occurrence Window(Timestamp time, DateTimeZone? dayZone)
    {
        if (dayZone is null)
            return Occurrence.AtInstant(time.ToDateTimeOffset());
        // Not every day is 24 hours long, and some begin at one o'clock.
        var day = Instant.FromDateTimeOffset(time.ToDateTimeOffset()).InZone(dayZone).Date;
        return Occurrence.OnDay(
            dayZone.AtStartOfDay(day).ToDateTimeOffset(), dayZone.AtStartOfDay(day.PlusDays(1)).ToDateTimeOffset(), dayZone.Id);
    }
}
