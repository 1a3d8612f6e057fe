using Reliability.Store.Revisions;

namespace Reliability.Store.Notes;

/// <summary>How an event stands after its note was to be erased: it has none.</summary>
/// <param name="EraseTime">When a note was erased, UTC; null when the event never had one.</param>
/// <param name="Revision">The state of the record without the note.</param>
public sealed record NoteErasure(DateTimeOffset? EraseTime, Revision Revision);
