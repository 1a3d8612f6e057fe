namespace Reliability.Files.Mappings;

/// <summary>A code that a mapping does not know.</summary>
/// <param name="Column">The file's column.</param>
/// <param name="Table">The table that should have it; empty where it decides which rule takes the row.</param>
/// <param name="Code">The code, shortened where it is long.</param>
public readonly record struct UnknownCode(string Column, string Table, string Code);
