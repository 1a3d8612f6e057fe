namespace Reliability.History.Events;

/// <summary>One or more readings of one meter.</summary>
public sealed record RunHoursReadV1 : EventBody
{
    /// <summary>The meter read; null stands for the meter that counts the module's hours where it is fitted.</summary>
    public MeterOwner? Meter { get; init; }

    /// <summary>The readings, in any order.</summary>
    public required IReadOnlyList<MeterReading> Readings { get; init; }
}
