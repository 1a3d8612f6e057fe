namespace Reliability.History.Events;

/// <summary>A module has ended its ability to perform as required.</summary>
public sealed record FailedV1 : EventBody
{
    /// <summary>How the failure showed: a code of the organisation; null when nobody knows.</summary>
    public string? Mode { get; init; }

    /// <summary>What the meter that counts showed, hours.</summary>
    public double? ReadingHours { get; init; }

    /// <summary>Whether time and reading are those of the failure or of its discovery.</summary>
    public FailureReading ReadingIs { get; init; } = FailureReading.Discovery;
}
