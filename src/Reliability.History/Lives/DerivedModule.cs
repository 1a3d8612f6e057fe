using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>What follows from a module's record: its state, its lives, and how each event stands.</summary>
public sealed record DerivedModule
{
    /// <summary>Resource id of the module.</summary>
    public required string ModuleId { get; init; }

    /// <summary>Where it is in its life.</summary>
    public required ModuleState State { get; init; }

    /// <summary>Id of its model; null when nothing on record names it.</summary>
    public string? ModelId { get; init; }

    /// <summary>Identifiers from its registrations and from reports of its lives, each in its one spelling.</summary>
    public IReadOnlyList<ModuleIdentifier> Identifiers { get; init; } = [];

    /// <summary>The maker's lot; null when unknown.</summary>
    public string? Lot { get; init; }

    /// <summary>Its condition now; null when nothing on record states it.</summary>
    public Condition? Condition { get; init; }

    /// <summary>The host device it is fitted in; null when it is in none.</summary>
    public string? HostDevice { get; init; }

    /// <summary>The position in it.</summary>
    public string? Position { get; init; }

    /// <summary>The site of that host device.</summary>
    public string? Site { get; init; }

    /// <summary>Model of that host device.</summary>
    public string? HostModel { get; init; }

    /// <summary>Age in the current life at the last reading, run-hours; null when no life goes on or its age is unknown.</summary>
    public HoursRange? Age { get; init; }

    /// <summary>Run-hours since manufacture at the last reading, as far as recorded; null when unknown.</summary>
    public HoursRange? TotalHours { get; init; }

    /// <summary>When a reading that counts was last taken, UTC; null when none was.</summary>
    public DateTimeOffset? LastReadingTime { get; init; }

    /// <summary>What the meter that counts showed then, hours.</summary>
    public double? LastReadingHours { get; init; }

    /// <summary>Run-hours a day expected where it is fitted; null when not stated.</summary>
    public double? ExpectedHoursPerDay { get; init; }

    /// <summary>Number of the life that goes on; null when none does.</summary>
    public int? CurrentLifeNumber { get; init; }

    /// <summary>Its lives in order of start, excluded ones with their reason.</summary>
    public IReadOnlyList<Life> Lives { get; init; } = [];

    /// <summary>Its spells in order of time.</summary>
    public IReadOnlyList<Spell> Spells { get; init; } = [];

    /// <summary>How each event stands, in the order in which the events count.</summary>
    public IReadOnlyList<EventStatus> Events { get; init; } = [];

    /// <summary>Accepted readings on the time axis.</summary>
    public IReadOnlyList<UsagePoint> Usage { get; init; } = [];

    /// <summary>
    /// What must be known to go on with readings that follow; null when those may change more than the end of the record, or when
    /// this is another view than the default one.
    /// </summary>
    public Continuation? Continuation { get; init; }
}
