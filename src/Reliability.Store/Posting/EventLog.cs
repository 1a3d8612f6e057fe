using Reliability.History.Events;

namespace Reliability.Store.Posting;

/// <summary>Posting of events, exactly once each.</summary>
public sealed class EventLog
{
    private readonly string _organisation;
    private readonly EventWriter _writer;
    private readonly PostCheck _check;

    internal EventLog(string organisation, EventWriter writer, Database database)
    {
        (_organisation, _writer) = (organisation, writer);
        _check = new PostCheck(database);
    }

    /// <summary>
    /// Records events. When it returns, every event with a receipt is on disk, and on record exactly once however often
    /// and by however many processes it is posted.
    /// </summary>
    /// <param name="events">
    /// The events, valid in themselves; <see cref="RecordedEvent.EventId"/> is that of
    /// <see cref="EventIdentity.EventId"/>. Record times are the database's own.
    /// </param>
    /// <param name="cancellation">
    /// Ends the waiting. Events that were on their way are recorded all the same; post them again to learn what became
    /// of them.
    /// </param>
    /// <returns>What became of each event, in the order given.</returns>
    /// <exception cref="StoreUnavailableException">
    /// The database does not answer. Some of the events may be on record; posting them again does no harm.
    /// </exception>
    public Task<IReadOnlyList<RecordOutcome>> RecordAsync(
        IReadOnlyList<RecordedEvent> events, CancellationToken cancellation) =>
        events.Count == 0
            ? Task.FromResult<IReadOnlyList<RecordOutcome>>([])
            : _writer.PostAsync(_organisation, [.. events.Select(PostedEvent.Of)], cancellation);

    /// <summary>A check of events that are given in several parts, as those of a file.</summary>
    public CheckTogether BeginCheck() => new(_organisation, _check);

    /// <summary>Tells what would become of events, and records nothing.</summary>
    /// <param name="events">The events, valid in themselves.</param>
    /// <param name="cancellation">Ends the check.</param>
    /// <returns>
    /// What would become of each event, in the order given. The revision of an event that is not on record is the present one.
    /// </returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task<IReadOnlyList<RecordOutcome>> CheckAsync(
        IReadOnlyList<RecordedEvent> events, CancellationToken cancellation) =>
        _check.CheckAsync(_organisation, [.. events.Select(PostedEvent.Of)], cancellation);
}
