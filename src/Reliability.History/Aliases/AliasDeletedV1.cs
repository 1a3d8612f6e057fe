namespace Reliability.History.Aliases;

/// <summary>An alias was wrong: the two names mean what they meant before it.</summary>
public sealed record AliasDeletedV1
{
    /// <summary>What the names name.</summary>
    public required AliasKind Kind { get; init; }

    /// <summary>The name that stood for another.</summary>
    public required string Alternate { get; init; }
}
