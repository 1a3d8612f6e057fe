using Reliability.V1;

namespace Reliability.Files;

/// <summary>
/// Tells events that lie ahead: most often a mistyped year. They are taken, since a clock may be wrong, and told of.
/// </summary>
public static class FutureTime
{
    /// <summary>Further ahead than this cannot be a matter of zones or of a clock that is a little fast.</summary>
    private static readonly TimeSpan Tolerance = TimeSpan.FromDays(1);

    /// <summary>Whether an event is said to happen more than a day after now.</summary>
    /// <param name="said">The event.</param>
    /// <param name="now">The time by the clock of whoever asks.</param>
    public static bool Is(ModuleEvent said, DateTimeOffset now) => said.OccurTime is { } time
        && time.Seconds > (now + Tolerance).ToUnixTimeSeconds();
}
