namespace Reliability.History.Catalogue;

/// <summary>A handling caution.</summary>
public sealed record Caution
{
    /// <summary>A code, so that programs can show their own words.</summary>
    public required string Code { get; init; }

    /// <summary>The caution in words.</summary>
    public required string Text { get; init; }
}
