using Reliability.DemoData.Simulation;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>The reason that a hospital gives for a removal.</summary>
internal static class RemovalReasons
{
    /// <summary>The reason for the removal at the end of a life; unspecified while it is in service.</summary>
    public static RemovalReason Of(ServiceLife life) => life.Outcome switch
    {
        LifeEnd.FoundFailed when life.Mode.ByOutput => RemovalReason.LowOutput,
        LifeEnd.FailedAtOnce or LifeEnd.FoundFailed => RemovalReason.Failed,
        LifeEnd.RatedHours => RemovalReason.RatedHoursReached,
        LifeEnd.Planned => RemovalReason.Planned,
        LifeEnd.Upgraded => RemovalReason.Upgrade,
        _ => RemovalReason.Unspecified,
    };
}
