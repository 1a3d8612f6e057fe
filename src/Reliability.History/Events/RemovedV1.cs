namespace Reliability.History.Events;

/// <summary>A module is taken out of its host.</summary>
public sealed record RemovedV1 : EventBody
{
    /// <summary>Why.</summary>
    public required RemovalReason Reason { get; init; }

    /// <summary>What the meter that counts showed, hours.</summary>
    public double? ReadingHours { get; init; }

    /// <summary>Codes of the handling cautions that the person at work confirmed.</summary>
    public IReadOnlyList<string> ConfirmedCautions { get; init; } = [];
}
