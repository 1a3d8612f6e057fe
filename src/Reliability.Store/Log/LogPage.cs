using Reliability.Store.Revisions;

namespace Reliability.Store.Log;

/// <summary>A stretch of the log.</summary>
/// <param name="Entries">What is in it, in order.</param>
/// <param name="End">Where it ends: read on from here.</param>
/// <param name="IsLast">Whether nothing more was settled behind it when it was read.</param>
public sealed record LogPage(IReadOnlyList<LogEntry> Entries, Revision End, bool IsLast);
