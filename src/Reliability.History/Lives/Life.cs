using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>One service life of one module. Its attributes are those at its start.</summary>
public sealed record Life
{
    /// <summary>Resource id of the module.</summary>
    public required string ModuleId { get; init; }

    /// <summary>1 for the first life on record.</summary>
    public required int Number { get; init; }

    /// <summary>Derived from events, or from a row that reports the whole life.</summary>
    public required LifeOrigin Origin { get; init; }

    /// <summary>Id of the module model.</summary>
    public required string ModelId { get; init; }

    /// <summary>Condition in which it started.</summary>
    public required Condition Condition { get; init; }

    /// <summary>Site of the first install; null when unknown.</summary>
    public string? Site { get; init; }

    /// <summary>Host device of the first install; null when unknown.</summary>
    public string? HostDevice { get; init; }

    /// <summary>Model of that host device; null when unknown.</summary>
    public string? HostModel { get; init; }

    /// <summary>Position of the first install; null when unknown.</summary>
    public string? Position { get; init; }

    /// <summary>The maker's lot; null when unknown.</summary>
    public string? Lot { get; init; }

    /// <summary>When it started: the first install, or the registration when that is missing, UTC.</summary>
    public required DateTimeOffset StartTime { get; init; }

    /// <summary>When it ended, or was last seen working, UTC.</summary>
    public required DateTimeOffset EndTime { get; init; }

    /// <summary>Whether it still goes on in a host device.</summary>
    public bool InService { get; init; }

    /// <summary>Age at which observation began, run-hours: the life is known only because it reached it.</summary>
    public required double EntryHours { get; init; }

    /// <summary>How it ended and at which age; null when no age could be had.</summary>
    public LifeOutcome? Outcome { get; init; }

    /// <summary>Whether it ended in failure; told also where no age could be had.</summary>
    public bool EndedInFailure { get; init; }

    /// <summary>How the failure showed; null for a survivor or when nobody knows.</summary>
    public string? FailureMode { get; init; }

    /// <summary>Why the module was removed at the end; null when it was not.</summary>
    public RemovalReason? RemovalReason { get; init; }

    /// <summary>Rated hours in force at its start for its condition; null when there are none.</summary>
    public double? RatedHours { get; init; }

    /// <summary>Run-hours since manufacture at its start, as far as recorded; null when unknown.</summary>
    public HoursRange? TotalHoursBefore { get; init; }

    /// <summary>Why it enters no sample; null when it may.</summary>
    public LifeExclusion? Exclusion { get; init; }

    /// <summary>
    /// What is odd about the readings on which its entry, outcome or age at the outcome rests. A life with any is left out of
    /// samples unless they are asked for.
    /// </summary>
    public IReadOnlyList<RecordOddity> Flags { get; init; } = [];

    /// <summary>Choices that could have given it another outcome.</summary>
    public IReadOnlyList<LifeAmbiguity> Ambiguities { get; init; } = [];

    /// <summary>The event with which it started; null when there is none.</summary>
    public Guid? StartEventId { get; init; }

    /// <summary>The event that showed its outcome: failure, removal, or the last that showed it working.</summary>
    public Guid? OutcomeEventId { get; init; }

    /// <summary>Whether its entry, outcome or age rests on a left-out reading.</summary>
    public bool IsFlagged => Flags.Count > 0;

    /// <summary>Whether it enters samples.</summary>
    /// <param name="includeFlagged">Whether flagged lives enter too.</param>
    public bool Counts(bool includeFlagged) => Exclusion is null && Outcome is not null && (includeFlagged || !IsFlagged);
}
