namespace Reliability.History.Events;

/// <summary>A whole life in one row, as most hospitals have it.</summary>
public sealed record LifeReportedV1 : EventBody
{
    /// <summary>Id of the module model.</summary>
    public required string Model { get; init; }

    /// <summary>Identifiers of the module; a serial or an asset number is among them.</summary>
    public IReadOnlyList<ModuleIdentifier> Identifiers { get; init; } = [];

    /// <summary>Condition in which the life started.</summary>
    public Condition Condition { get; init; } = Condition.New;

    /// <summary>Site at which the life started.</summary>
    public string? Site { get; init; }

    /// <summary>Model of the host device in which the life started.</summary>
    public string? HostModel { get; init; }

    /// <summary>The maker's lot.</summary>
    public string? Lot { get; init; }

    /// <summary>When the life started.</summary>
    public required Occurrence Start { get; init; }

    /// <summary>When the life ended; for a module in service the date of its last reading.</summary>
    public required Occurrence End { get; init; }

    /// <summary>Age when observation began, run-hours; null when not stated.</summary>
    public double? AgeAtObservationHours { get; init; }

    /// <summary>Age at the end, run-hours.</summary>
    public required double AgeAtEndHours { get; init; }

    /// <summary>Greatest age at which it was seen working, run-hours; null when nobody knows.</summary>
    public double? AgeLastWorkingHours { get; init; }

    /// <summary>Whether the age at the end is that of the failure itself, not of its discovery.</summary>
    public bool FailureMoment { get; init; }

    /// <summary>Failed, or survived so far.</summary>
    public required ReportedOutcome Outcome { get; init; }

    /// <summary>Why the module was removed; null when it is in service or nobody knows.</summary>
    public RemovalReason? Reason { get; init; }

    /// <summary>Whether the module was still in service at the end.</summary>
    public bool InService { get; init; }

    /// <summary>How the failure showed; null when nobody knows.</summary>
    public string? FailureMode { get; init; }

    /// <summary>The date from which the source lists every life, ended or not, UTC; null when it declares none.</summary>
    public DateTimeOffset? CompleteFrom { get; init; }
}
