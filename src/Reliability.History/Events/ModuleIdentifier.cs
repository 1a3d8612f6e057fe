namespace Reliability.History.Events;

/// <summary>An identifier under which a module can be looked up.</summary>
public sealed record ModuleIdentifier
{
    /// <summary>Serial number, unique device identifier or asset number.</summary>
    public required IdentifierKind Kind { get; init; }

    /// <summary>The identifier as typed or scanned.</summary>
    public required string Value { get; init; }
}
