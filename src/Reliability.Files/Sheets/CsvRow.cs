namespace Reliability.Files.Sheets;

/// <summary>A row of a sheet.</summary>
/// <param name="Line">The line it begins on, counted from 1.</param>
/// <param name="Original">The row as it stands in the file.</param>
/// <param name="Values">Its filled cells, trimmed, by column.</param>
/// <param name="Problem">What is wrong with the row as a whole; null when nothing is.</param>
public sealed record CsvRow(long Line, string Original, IReadOnlyDictionary<string, string> Values, string? Problem);
