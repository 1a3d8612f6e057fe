using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Revisions;

namespace Reliability.Store.Modules;

/// <summary>An event and how it stands in its module's record.</summary>
/// <param name="Event">The event.</param>
/// <param name="Status">Whether it counts, and why not.</param>
/// <param name="Related">The event that retracted or replaced it, or that it repeats; null when there is none.</param>
/// <param name="NoteEraseTime">When its note was erased, UTC; null when it was not.</param>
/// <param name="Revision">The state of the record with the event in.</param>
public sealed record EventInRecord(RecordedEvent Event, EventStatus Status, RecordedEvent? Related, DateTimeOffset? NoteEraseTime, Revision Revision);
