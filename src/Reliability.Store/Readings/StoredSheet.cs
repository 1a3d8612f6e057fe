namespace Reliability.Store.Readings;

/// <summary>A sheet in the log.</summary>
/// <param name="Position">Its position.</param>
/// <param name="RecordTime">When it was stored, UTC.</param>
/// <param name="Sheet">What it holds.</param>
internal readonly record struct StoredSheet(long Position, DateTimeOffset RecordTime, ReadingSheet Sheet);
