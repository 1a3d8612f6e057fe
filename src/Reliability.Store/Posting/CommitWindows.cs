using Npgsql;
using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>The commits there were, by number: what the receipt of a repeated event is given from.</summary>
internal sealed class CommitWindows(Database database)
{
    private const int Remembered = 10_000;

    // A window never changes once it is there.
    private readonly Dictionary<(string Organisation, long Number), Revision> _memory = [];

    /// <summary>The revisions that windows led to; windows that are not on record are left out.</summary>
    public async Task<IReadOnlyDictionary<long, Revision>> FindAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyCollection<long> numbers)
    {
        var found = new Dictionary<long, Revision>(numbers.Count);
        var asked = new List<long>();
        foreach (var number in numbers)
        {
            if (_memory.TryGetValue((organisation, number), out var revision)) found.Add(number, revision);
            else asked.Add(number);
        }
        if (asked.Count == 0) return found;
        await using var command = new NpgsqlCommand(
            $"""
            select window_number, position, catalogue_version from {database.Schema}.commit_window
            where organisation = $1 and window_number = any($2)
            """,
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<long[]> { TypedValue = [.. asked] },
            },
        };
        if (_memory.Count > Remembered) _memory.Clear();
        await using var reader = await command.ExecuteReaderAsync();
        while (await reader.ReadAsync())
        {
            var revision = new Revision(organisation, reader.GetInt64(1), reader.GetInt64(2));
            found.Add(reader.GetInt64(0), revision);
            _memory[(organisation, reader.GetInt64(0))] = revision;
        }
        return found;
    }

    /// <summary>Puts a window on record.</summary>
    public async Task<Revision> AddAsync(NpgsqlConnection connection, string organisation, long number, long position)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {database.Schema}.commit_window (organisation, window_number, position, catalogue_version)
            select $1, $2, $3, coalesce(max(position), 0) from {database.Schema}.module_model where organisation = $1
            returning catalogue_version
            """,
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<long> { TypedValue = number },
                new NpgsqlParameter<long> { TypedValue = position },
            },
        };
        return new Revision(organisation, position, (long)(await command.ExecuteScalarAsync())!);
    }
}
