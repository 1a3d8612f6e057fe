namespace Reliability.History.Events;

/// <summary>The output of a module is measured. Exactly one of fraction and value is given.</summary>
public sealed record OutputMeasuredV1 : EventBody
{
    /// <summary>Output as a fraction of the output when new.</summary>
    public double? Fraction { get; init; }

    /// <summary>Output in the unit of the module model.</summary>
    public double? Value { get; init; }

    /// <summary>What the meter that counts showed, hours.</summary>
    public double? ReadingHours { get; init; }
}
