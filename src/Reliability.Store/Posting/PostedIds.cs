using Npgsql;
using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>The table of all ids ever posted.</summary>
internal sealed class PostedIds(Database database)
{
    private readonly string _schema = database.Schema;

    /// <summary>
    /// Adds ids that are not there yet. Waits for other transactions that add the same ids just now.
    /// </summary>
    /// <returns>What is known of those that were there.</returns>
    public async Task<Dictionary<Guid, KnownId>> AddAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyCollection<PostedEvent> events, long window)
    {
        var sorted = events.OrderBy(posted => posted.Event.EventId).ToArray();
        await using var command = new NpgsqlCommand(
            $"""
            insert into {_schema}.posted_event (organisation, event_id, body_hash, window_number)
            select $1, id, hash, $4 from unnest($2, $3) as posted (id, hash)
            on conflict do nothing
            """,
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<Guid[]> { TypedValue = [.. sorted.Select(posted => posted.Event.EventId)] },
                new NpgsqlParameter<Guid[]> { TypedValue = [.. sorted.Select(posted => posted.BodyHash)] },
                new NpgsqlParameter<long> { TypedValue = window },
            },
        };
        var added = await command.ExecuteNonQueryAsync();
        if (added == sorted.Length) return [];

        // Rows just added join no window yet, so only those posted before are found.
        await using var lookup = new NpgsqlCommand(KnownSql, connection);
        foreach (var parameter in KnownParameters(organisation, sorted)) lookup.Parameters.Add(parameter);
        await using var reader = await lookup.ExecuteReaderAsync();
        var known = new Dictionary<Guid, KnownId>();
        while (await reader.ReadAsync())
        {
            var (id, before) = Read(organisation, reader);
            known.Add(id, before);
        }
        return known;
    }

    /// <summary>What is known of those of the ids that were posted before.</summary>
    public async Task<Dictionary<Guid, KnownId>> FindAsync(
        string organisation, IReadOnlyCollection<PostedEvent> events, CancellationToken cancellation)
    {
        var rows = await database.ReadAsync(
            KnownSql, KnownParameters(organisation, events),
            reader => Read(organisation, reader), cancellation);
        return rows.ToDictionary(row => row.Id, row => row.Known);
    }

    private string KnownSql =>
        $"""
        select event_id, body_hash, window_number, position, catalogue_version
        from {_schema}.posted_event join {_schema}.commit_window using (organisation, window_number)
        where organisation = $1 and event_id = any($2)
        """;

    private static NpgsqlParameter[] KnownParameters(string organisation, IReadOnlyCollection<PostedEvent> events) =>
    [
        new NpgsqlParameter<string> { TypedValue = organisation },
        new NpgsqlParameter<Guid[]> { TypedValue = [.. events.Select(posted => posted.Event.EventId)] },
    ];

    private static (Guid Id, KnownId Known) Read(string organisation, NpgsqlDataReader reader) => (
        reader.GetGuid(0),
        new KnownId(
            reader.GetGuid(1), reader.GetInt64(2),
            new Revision(organisation, reader.GetInt64(3), reader.GetInt64(4))));
}
