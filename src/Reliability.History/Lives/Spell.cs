using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>A stretch of time for which a module was fitted in one host device.</summary>
public sealed record Spell
{
    /// <summary>1 for the first spell on record.</summary>
    public required int Number { get; init; }

    /// <summary>The life it belongs to; null when it belongs to none, such as hours run on after a failure.</summary>
    public int? LifeNumber { get; init; }

    /// <summary>The host device; null when the install is missing.</summary>
    public string? HostDevice { get; init; }

    /// <summary>The position in it.</summary>
    public string? Position { get; init; }

    /// <summary>The site.</summary>
    public string? Site { get; init; }

    /// <summary>Model of the host device.</summary>
    public string? HostModel { get; init; }

    /// <summary>The meter that counted.</summary>
    public required MeterOwner Meter { get; init; }

    /// <summary>Start of the window in which it began, UTC.</summary>
    public required DateTimeOffset StartTime { get; init; }

    /// <summary>End of the window in which it ended, UTC; null while it goes on.</summary>
    public DateTimeOffset? EndTime { get; init; }

    /// <summary>Why the module was removed; null while fitted or when the removal is missing.</summary>
    public RemovalReason? RemovalReason { get; init; }

    /// <summary>Whether the module failed in it.</summary>
    public bool Failed { get; init; }

    /// <summary>Run-hours gathered in it up to its end or its last reading.</summary>
    public required HoursRange Hours { get; init; }
}
