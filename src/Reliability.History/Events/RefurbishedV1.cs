namespace Reliability.History.Events;

/// <summary>A module has been refurbished.</summary>
public sealed record RefurbishedV1 : EventBody
{
    /// <summary>Who did it.</summary>
    public string? By { get; init; }

    /// <summary>Whether the wearing part was renewed.</summary>
    public RenewalStatement RenewsWearingPart { get; init; }

    /// <summary>What the meter that counts showed before the work, hours.</summary>
    public double? ReadingBeforeHours { get; init; }

    /// <summary>What the meter that counts showed after the work, hours.</summary>
    public double? ReadingAfterHours { get; init; }

    /// <summary>Output at acceptance as a fraction of the output when new.</summary>
    public double? AcceptanceOutputFraction { get; init; }

    /// <summary>Output at acceptance in the unit of the module model.</summary>
    public double? AcceptanceOutputValue { get; init; }
}
