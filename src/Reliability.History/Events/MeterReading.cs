namespace Reliability.History.Events;

/// <summary>One reading of an hour meter. Its time has the precision of the event that carries it.</summary>
public sealed record MeterReading
{
    /// <summary>The first instant at which it can have been taken, UTC.</summary>
    public required DateTimeOffset Earliest { get; init; }

    /// <summary>The end of the window in which it was taken, UTC; equal to <see cref="Earliest"/> for an instant.</summary>
    public required DateTimeOffset Latest { get; init; }

    /// <summary>What the meter showed, hours.</summary>
    public required double Hours { get; init; }

    /// <summary>A reading taken at a known instant.</summary>
    /// <param name="time">The instant; turned to UTC.</param>
    /// <param name="hours">What the meter showed, hours.</param>
    public static MeterReading AtInstant(DateTimeOffset time, double hours)
    {
        var utc = time.ToUniversalTime();
        return new() { Earliest = utc, Latest = utc, Hours = hours };
    }
}
