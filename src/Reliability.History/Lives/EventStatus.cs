namespace Reliability.History.Lives;

/// <summary>How an event stands in its record.</summary>
public sealed record EventStatus
{
    /// <summary>The event.</summary>
    public required Guid EventId { get; init; }

    /// <summary>Whether it counts.</summary>
    public required EventStanding Standing { get; init; }

    /// <summary>What it waits for; null unless unresolved.</summary>
    public UnresolvedReason? UnresolvedReason { get; init; }

    /// <summary>The event that retracted or replaced it, or that it repeats; null when there is none.</summary>
    public Guid? RelatedEventId { get; init; }

    /// <summary>What is odd about it.</summary>
    public IReadOnlyList<RecordOddity> Flags { get; init; } = [];

    /// <summary>Its readings that were left out.</summary>
    public IReadOnlyList<Events.MeterReading> LeftOutReadings { get; init; } = [];
}
