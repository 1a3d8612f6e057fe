namespace Reliability.History.Events;

/// <summary>A meter is replaced or reset.</summary>
public sealed record MeterChangedV1 : EventBody
{
    /// <summary>The meter changed; null stands for the meter that counts the module's hours where it is fitted.</summary>
    public MeterOwner? Meter { get; init; }

    /// <summary>Last reading of the old meter, hours; null when nobody took it.</summary>
    public double? FinalHours { get; init; }

    /// <summary>First reading of the new meter, hours; null when nobody took it.</summary>
    public double? FirstHours { get; init; }
}
