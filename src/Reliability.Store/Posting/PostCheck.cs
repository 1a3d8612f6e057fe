using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>Tells what would become of posted events without recording them.</summary>
internal sealed class PostCheck(Database database)
{
    private readonly PostedIds _posted = new(database);
    private readonly UnresolvedCheck _unresolved = new(database);

    public async Task<IReadOnlyList<RecordOutcome>> CheckAsync(
        string organisation, IReadOnlyList<PostedEvent> events, CancellationToken cancellation)
    {
        var known = await _posted.FindAsync(organisation, events, cancellation);
        var present = await new RevisionQueries(organisation, database).CurrentAsync(cancellation);
        var said = known.ToDictionary(entry => entry.Key, entry => entry.Value.BodyHash);
        var accepted = new List<PostedEvent>();
        var outcomes = new List<(PostedEvent Posted, bool Accepted, bool Duplicate)>();
        foreach (var posted in events)
        {
            var first = said.TryAdd(posted.Event.EventId, posted.BodyHash);
            var same = first || said[posted.Event.EventId] == posted.BodyHash;
            if (same) accepted.Add(posted);
            outcomes.Add((posted, same, !first));
        }
        var unresolved = await Failure.Translated(async () =>
        {
            await using var connection = await database.Source.OpenConnectionAsync(cancellation);
            return await _unresolved.FindAsync(
                connection, organisation, accepted.Select(posted => posted.Event));
        });
        return
        [
            .. outcomes.Select(outcome => outcome.Accepted
                ? (RecordOutcome)new RecordOutcome.Receipt(
                    known.GetValueOrDefault(outcome.Posted.Event.EventId)?.Revision ?? present,
                    outcome.Duplicate,
                    unresolved.TryGetValue(outcome.Posted.Event.EventId, out var reason) ? reason : null)
                : new RecordOutcome.OtherBody()),
        ];
    }
}
