namespace Reliability.Store.Revisions;

/// <summary>What came of waiting until nothing more can be recorded at or before an instant.</summary>
public enum RecordTimeWait
{
    /// <summary>What was recorded by then is settled, and lives and module states have taken it in.</summary>
    Settled,

    /// <summary>It was not within the time allowed. The wait may be made again.</summary>
    TimedOut,

    /// <summary>The instant is still to come, by the clock that gives record times.</summary>
    Future,
}
