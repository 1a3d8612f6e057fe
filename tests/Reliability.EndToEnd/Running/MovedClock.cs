namespace Reliability.EndToEnd.Running;

/// <summary>A clock that runs as the machine's does, but days ahead.</summary>
internal sealed class MovedClock : TimeProvider
{
    public TimeSpan Ahead { get; set; }

    public override DateTimeOffset GetUtcNow() => System.GetUtcNow() + Ahead;
}
