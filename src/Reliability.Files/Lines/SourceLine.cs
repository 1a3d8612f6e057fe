namespace Reliability.Files.Lines;

/// <summary>A line of a file.</summary>
/// <param name="Number">Counted from 1.</param>
/// <param name="Text">
/// Its text in UTF-8, without the line's end, valid until the next line is read. Of a line that cannot be used, what can
/// be shown of it.
/// </param>
/// <param name="Problem">Why the line cannot be used; null when it can.</param>
public readonly record struct SourceLine(long Number, ReadOnlyMemory<byte> Text, string? Problem);
