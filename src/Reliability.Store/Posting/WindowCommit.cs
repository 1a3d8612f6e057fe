using Marten;
using Reliability.Store.Readings;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>
/// Commits of one writer: ids into the table of posted ids, readings onto the writer's own stream as a sheet, other events
/// onto the streams of their modules, in one transaction. Ids and streams are locked in sorted order, ids first, so that
/// commits of several writers queue up and never deadlock.
/// </summary>
internal sealed class WindowCommit(Database database, IDocumentStore documents, UnresolvedCheck unresolved)
{
    private readonly PostedIds _posted = new(database);
    private readonly CommitWindows _windows = new(database);
    private readonly WindowNumbers _numbers = new(database);
    private readonly StreamAppend _append = new(database, documents);
    private readonly string _sheets = ReadingStream.New();

    /// <summary>A number for a window, never given before.</summary>
    public Task<long> NextNumberAsync() => _numbers.NextAsync();

    /// <summary>Commits events of one organisation.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="events">The events; an id may come more than once.</param>
    /// <param name="number">Number of the window, the same for every attempt.</param>
    /// <returns>What became of each event, in the order given.</returns>
    public async Task<RecordOutcome[]> CommitAsync(
        string organisation, IReadOnlyList<PostedEvent> events, long number)
    {
        var window = new PostedWindow(events);
        await using var connection = await database.Source.OpenConnectionAsync();
        await using var transaction = await connection.BeginTransactionAsync();
        window.Known = await _posted.AddAsync(connection, organisation, window.First, number);
        // An earlier attempt of this very window may have been committed after all: then all is done.
        var fresh = window.Known.Values.Any(known => known.Window == number)
            ? []
            : window.First.Where(posted => !window.Known.ContainsKey(posted.Event.EventId))
                .Select(posted => posted.Event).ToList();
        var waiting = await unresolved.FindAsync(connection, organisation, window.Accepted());
        var revision = default(Revision);
        if (fresh.Count > 0)
        {
            var byModule = fresh.Where(posted => !ReadingBlock.CanHold(posted)).ToList();
            if (byModule.Count > 0) await StreamPreparation.PrepareAsync(
                connection, database, organisation, byModule.Select(posted => posted.ModuleId));
            var position = await _append.AppendAsync(
                connection, organisation, number, byModule, byModule.Count == fresh.Count
                    ? null
                    : (_sheets, ReadingSheet.Of(byModule.Count == 0 ? fresh : fresh.Where(ReadingBlock.CanHold))));
            revision = await _windows.AddAsync(connection, organisation, number, position);
        }
        await transaction.CommitAsync();

        StoreTelemetry.EventsRecorded.Add(fresh.Count);
        return window.Outcomes(waiting, revision, number);
    }
}
