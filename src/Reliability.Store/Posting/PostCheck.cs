using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>Tells what would become of posted events without recording them.</summary>
internal sealed class PostCheck(Database database)
{
    private readonly UnresolvedCheck _unresolved = new(database);

    public async Task<IReadOnlyList<RecordOutcome>> CheckAsync(
        string organisation, IReadOnlyList<PostedEvent> events, CancellationToken cancellation)
    {
        var present = await new RevisionQueries(organisation, database).CurrentAsync(cancellation);
        return await Failure.Translated(async () =>
        {
            await using var connection = await database.Source.OpenConnectionAsync(cancellation);
            var known = await new PostedIds(database).FindAsync(connection, organisation, events, window: null);
            var window = new PostedWindow(events, known);
            var unresolved = await _unresolved.FindAsync(connection, organisation, window.Accepted());
            return window.Outcomes(unresolved, present, number: null);
        });
    }
}
