using Reliability.History.Events;
using Reliability.Store.Revisions;

namespace Reliability.Store.Log;

/// <summary>What stands at one position of the log.</summary>
/// <param name="Revision">The state of the record with it in.</param>
/// <param name="Events">
/// Its events: readings that were committed together stand at one position, and are read out of their bytes one by one.
/// </param>
public sealed record LogEntry(Revision Revision, IEnumerable<RecordedEvent> Events);
