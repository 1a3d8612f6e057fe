namespace Reliability.History.Aliases;

/// <summary>A spelling that a record holds.</summary>
/// <param name="Kind">What it spells.</param>
/// <param name="Text">As typed.</param>
public readonly record struct Spelling(AliasKind Kind, string Text);
