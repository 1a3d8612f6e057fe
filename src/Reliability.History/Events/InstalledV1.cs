namespace Reliability.History.Events;

/// <summary>A module is fitted in a host device.</summary>
public sealed record InstalledV1 : EventBody
{
    /// <summary>Id of the host device.</summary>
    public required string HostDevice { get; init; }

    /// <summary>Position in the host, where it has several.</summary>
    public string? Position { get; init; }

    /// <summary>Site at which the host stands.</summary>
    public string? Site { get; init; }

    /// <summary>Model of the host device.</summary>
    public string? HostModel { get; init; }

    /// <summary>What the meter that counts showed, hours.</summary>
    public double? ReadingHours { get; init; }

    /// <summary>The meter that counts the module's hours while it is fitted here.</summary>
    public MeterOwner Meter { get; init; } = MeterOwner.Module;

    /// <summary>
    /// Whether the meter stops when the module fails; null stands for true on the module's own meter, false on the host's.
    /// </summary>
    public bool? MeterStopsAtFailure { get; init; }

    /// <summary>Run-hours a day that are expected here, if known.</summary>
    public double? ExpectedHoursPerDay { get; init; }
}
