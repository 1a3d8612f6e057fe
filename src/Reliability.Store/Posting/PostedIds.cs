using Npgsql;

namespace Reliability.Store.Posting;

/// <summary>
/// The table of all ids ever posted. The organisation is in the id itself, which is made from its name
/// (<see cref="History.Events.EventIdentity.EventId"/>), and in the window that the id came in.
/// </summary>
internal sealed class PostedIds(Database database)
{
    private readonly string _schema = database.Schema;
    private readonly CommitWindows _windows = new(database);
    private bool _mostlyKnown;

    /// <summary>
    /// Adds ids that are not there yet. Waits for other transactions that add the same ids just now.
    /// </summary>
    /// <param name="connection">A connection with an open transaction.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="events">The events, each id once.</param>
    /// <param name="window">Number of the window that they come in.</param>
    /// <returns>What is known of those that were there.</returns>
    public async Task<Dictionary<Guid, KnownId>> AddAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyCollection<PostedEvent> events, long window)
    {
        // The order in which ids are locked: posts of the same ids queue up and never deadlock.
        PostedEvent[] sorted = [.. events];
        Array.Sort(sorted, static (one, other) => one.Event.EventId.CompareTo(other.Event.EventId));

        // A repost comes after a repost, and looking ids up is cheaper than trying to add them.
        Dictionary<Guid, KnownId> known = [];
        if (_mostlyKnown) known = await FindAsync(connection, organisation, sorted, window);
        var adding = known.Count == 0
            ? sorted
            : Array.FindAll(sorted, posted => !known.ContainsKey(posted.Event.EventId));
        if (adding.Length > 0 && await InsertAsync(connection, adding, window) < adding.Length)
            foreach (var (id, before) in await FindAsync(connection, organisation, adding, window)) known[id] = before;
        _mostlyKnown = known.Count * 2 > sorted.Length;
        return known;
    }

    /// <summary>What is known of those of the ids that were posted before.</summary>
    /// <param name="connection">Where to look.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="events">The events.</param>
    /// <param name="window">
    /// Number of the window that they come in: rows that bear it count only once the window is there too; until then it is
    /// this transaction that added them. Null when nothing is being added.
    /// </param>
    public async Task<Dictionary<Guid, KnownId>> FindAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyCollection<PostedEvent> events, long? window)
    {
        var found = new List<(Guid Id, long Hash, long Window)>(events.Count);
        await using (var command = new NpgsqlCommand(
            $"select event_id, body_hash, window_number from {_schema}.posted_event where event_id = any($1)", connection)
        {
            Parameters = { Ids(events) },
        })
        await using (var reader = await command.ExecuteReaderAsync())
        {
            while (await reader.ReadAsync()) found.Add((reader.GetGuid(0), reader.GetInt64(1), reader.GetInt64(2)));
        }
        var revisions = await _windows.FindAsync(
            connection, organisation, [.. found.Select(row => row.Window).Distinct()]);
        var known = new Dictionary<Guid, KnownId>(found.Count);
        foreach (var (id, hash, number) in found)
        {
            if (revisions.TryGetValue(number, out var revision)) known.Add(id, new KnownId(hash, number, revision));
            else if (number != window)
                throw new InvalidDataException($"The table of posted ids names window {number}, which is not on record.");
        }
        return known;
    }

    private async Task<int> InsertAsync(NpgsqlConnection connection, PostedEvent[] sorted, long window)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {_schema}.posted_event (event_id, body_hash, window_number)
            select id, hash, $3 from unnest($1, $2) as posted (id, hash)
            on conflict do nothing
            """,
            connection)
        {
            Parameters =
            {
                Ids(sorted),
                new NpgsqlParameter<long[]> { TypedValue = Array.ConvertAll(sorted, posted => posted.BodyHash) },
                new NpgsqlParameter<long> { TypedValue = window },
            },
        };
        return await command.ExecuteNonQueryAsync();
    }

    private static NpgsqlParameter<Guid[]> Ids(IReadOnlyCollection<PostedEvent> events) =>
        new() { TypedValue = [.. events.Select(posted => posted.Event.EventId)] };
}
