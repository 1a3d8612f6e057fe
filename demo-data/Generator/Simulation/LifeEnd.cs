namespace Reliability.DemoData.Simulation;

/// <summary>How a simulated life ended, as those who look after it saw it.</summary>
internal enum LifeEnd
{
    /// <summary>Still working at the last round.</summary>
    InService,

    /// <summary>Failed, and noticed as it happened.</summary>
    FailedAtOnce,

    /// <summary>Found to have failed, at a round or when it was to be removed.</summary>
    FoundFailed,

    /// <summary>Removed in working order at or shortly before rated hours.</summary>
    RatedHours,

    /// <summary>Removed early in working order for planned maintenance.</summary>
    Planned,

    /// <summary>Removed early in working order, replaced by another kind.</summary>
    Upgraded,
}
