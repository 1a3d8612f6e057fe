namespace Reliability.Cli.Posting;

/// <summary>A code that a mapping does not know.</summary>
/// <param name="Column">The file's column.</param>
/// <param name="Table">The mapping's table that lacks it; empty where no rule takes such rows.</param>
/// <param name="Code">The code.</param>
/// <param name="Count">How often it was met.</param>
internal sealed record UnknownCodeCount(string Column, string Table, string Code, long Count);
