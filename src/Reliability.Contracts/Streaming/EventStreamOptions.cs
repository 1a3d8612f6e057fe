namespace Reliability.Contracts.Streaming;

/// <summary>How <see cref="EventStreamClient"/> posts.</summary>
public sealed record EventStreamOptions
{
    private readonly int _eventsPerMessage = 100, _unansweredEvents = 10_000;

    /// <summary>At most this many events go into one message, 1 to 1,000. An event never waits for a message to fill.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Below 1 or above 1,000.</exception>
    public int EventsPerMessage
    {
        get => _eventsPerMessage;
        init => _eventsPerMessage = value is >= 1 and <= 1_000
            ? value : throw new ArgumentOutOfRangeException(nameof(value), value, "Must be between 1 and 1,000.");
    }

    /// <summary>
    /// At most this many events are kept until they are answered; so many are sent again after a break. Fewer than the
    /// service commits at once make it slower.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">Below 1.</exception>
    public int UnansweredEvents
    {
        get => _unansweredEvents;
        init => _unansweredEvents = value >= 1
            ? value : throw new ArgumentOutOfRangeException(nameof(value), value, "Must be at least 1.");
    }

    /// <summary>So long after the last answer it gives up trying to go on.</summary>
    public TimeSpan GiveUpAfter { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>The pause after a break; it doubles with each attempt that brings no answer.</summary>
    public TimeSpan FirstPause { get; init; } = TimeSpan.FromMilliseconds(100);

    /// <summary>The longest pause between two attempts.</summary>
    public TimeSpan LongestPause { get; init; } = TimeSpan.FromSeconds(5);
}
