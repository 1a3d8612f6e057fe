namespace Reliability.History.Identifiers;

/// <summary>An application identifier and what follows it.</summary>
/// <param name="Code">The digits of the application identifier, such as 01.</param>
/// <param name="Value">What follows it.</param>
public readonly record struct ElementString(string Code, string Value);
