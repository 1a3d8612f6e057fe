namespace Reliability.History.Events;

/// <summary>A module's record is opened: observation of it begins.</summary>
public sealed record RegisteredV1 : EventBody
{
    /// <summary>Id of the module model.</summary>
    public required string Model { get; init; }

    /// <summary>Identifiers under which the module can be looked up.</summary>
    public IReadOnlyList<ModuleIdentifier> Identifiers { get; init; } = [];

    /// <summary>The maker's lot.</summary>
    public string? Lot { get; init; }

    /// <summary>New, or refurbished for the n-th time.</summary>
    public Condition Condition { get; init; } = Condition.New;

    /// <summary>Age in the current life when observation begins, run-hours; null when nobody knows.</summary>
    public double? AgeHours { get; init; }

    /// <summary>Run-hours since manufacture when observation begins; null when nobody knows.</summary>
    public double? TotalHours { get; init; }

    /// <summary>What the module's own meter showed, hours.</summary>
    public double? ReadingHours { get; init; }

    /// <summary>The date from which the source lists every life, ended or not, UTC; null when it declares none.</summary>
    public DateTimeOffset? CompleteFrom { get; init; }
}
