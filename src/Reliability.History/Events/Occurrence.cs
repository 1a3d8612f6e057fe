namespace Reliability.History.Events;

/// <summary>
/// When something happened: a window of UTC instants. An instant has equal ends; a day has the UTC instants at which it
/// begins and ends in its time zone.
/// </summary>
public sealed record Occurrence
{
    /// <summary>The first instant at which it can have happened, UTC.</summary>
    public required DateTimeOffset Earliest { get; init; }

    /// <summary>
    /// The end of the window, UTC: equal to <see cref="Earliest"/> for an instant, the start of the next day for a day.
    /// </summary>
    public required DateTimeOffset Latest { get; init; }

    /// <summary>How exactly the time is known.</summary>
    public required TimePrecision Precision { get; init; }

    /// <summary>The IANA time zone in which a day was meant; null for an instant.</summary>
    public string? Zone { get; init; }

    /// <summary>An occurrence known to the instant.</summary>
    /// <param name="time">The instant; turned to UTC.</param>
    public static Occurrence AtInstant(DateTimeOffset time)
    {
        var utc = time.ToUniversalTime();
        return new() { Earliest = utc, Latest = utc, Precision = TimePrecision.Instant };
    }

    /// <summary>An occurrence known to the day.</summary>
    /// <param name="start">The UTC instant at which the day begins in its zone.</param>
    /// <param name="end">The UTC instant at which the next day begins.</param>
    /// <param name="zone">The IANA time zone in which the day was meant.</param>
    /// <exception cref="ArgumentException">The day ends before it begins.</exception>
    public static Occurrence OnDay(DateTimeOffset start, DateTimeOffset end, string zone) =>
        end >= start
            ? new()
            {
                Earliest = start.ToUniversalTime(),
                Latest = end.ToUniversalTime(),
                Precision = TimePrecision.Day,
                Zone = zone,
            }
            : throw new ArgumentException("A day cannot end before it begins.", nameof(end));
}
