namespace Reliability.Store.Readings;

/// <summary>A stretch of the log, short enough that its sheets fit into memory.</summary>
/// <param name="Floor">Position behind which it begins.</param>
/// <param name="Ceiling">Position at which it ends.</param>
/// <param name="Count">How many sheets are in it.</param>
/// <param name="Sheets">Its sheets by organisation, in order.</param>
internal sealed record SheetRun(long Floor, long Ceiling, int Count, ILookup<string, StoredSheet> Sheets);
