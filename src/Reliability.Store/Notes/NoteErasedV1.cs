namespace Reliability.Store.Notes;

/// <summary>The note of an event was erased. On the stream of the event; says nothing of what the note held.</summary>
internal sealed record NoteErasedV1
{
    /// <summary>Name in the log.</summary>
    public const string KindName = "note_erased_v1";

    /// <summary>The event that had the note.</summary>
    public required Guid EventId { get; init; }
}
