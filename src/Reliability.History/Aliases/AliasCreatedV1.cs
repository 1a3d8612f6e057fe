namespace Reliability.History.Aliases;

/// <summary>Two names were found to mean the same.</summary>
public sealed record AliasCreatedV1
{
    /// <summary>What they name.</summary>
    public required AliasKind Kind { get; init; }

    /// <summary>The name that is not to be used any more: a module's id, or a spelling as typed.</summary>
    public required string Alternate { get; init; }

    /// <summary>The name it stands for.</summary>
    public required string Primary { get; init; }
}
