using System.Collections.Concurrent;
using Npgsql;
using Reliability.History.Aliases;
using Reliability.Store.Lives;

namespace Reliability.Store.Aliases;

/// <summary>Reads which names mean the same. The table is kept until it changes.</summary>
internal sealed class AliasReader(Database database)
{
    private static readonly Dictionary<string, AliasKind> Kinds = Enum.GetValues<AliasKind>().ToDictionary(Words.Of);

    private readonly ConcurrentDictionary<string, ((long Position, string Written) Last, AliasTable Table)> _known = new();

    /// <summary>The aliases of an organisation as they stood at an instant, UTC; null for as they stand.</summary>
    public async Task<AliasTable> ReadAsync(
        string organisation, DateTimeOffset? asOfRecordTime, CancellationToken cancellation)
    {
        var present = await ReadAsync(organisation, cancellation);
        return asOfRecordTime is { } instant && !present.IsEmpty ? present.AsOf(instant) : present;
    }

    /// <summary>The aliases of an organisation as they stand.</summary>
    public async Task<AliasTable> ReadAsync(string organisation, CancellationToken cancellation)
    {
        // The last row and the transaction that wrote it: a new change adds one, a rebuild writes it again.
        if (await database.ReadAsync(
            $"""
            select position, xmin::text from {database.Schema}.alias_change
            where organisation = $1 order by position desc limit 1
            """,
            [new NpgsqlParameter<string> { TypedValue = organisation }],
            reader => (Position: reader.GetInt64(0), Written: reader.GetString(1)),
            cancellation) is not [var last])
            return AliasTable.Empty;
        if (_known.TryGetValue(organisation, out var known) && known.Last == last) return known.Table;
        var changes = await database.ReadAsync(
            $"""
            select kind, alternate, primary_name, position, record_time from {database.Schema}.alias_change
            where organisation = $1
            """,
            [new NpgsqlParameter<string> { TypedValue = organisation }],
            Change,
            cancellation);
        var table = AliasTable.Of(changes);
        _known[organisation] = (last, table);
        return table;
    }

    /// <summary>What these aliases, by id, are or were about, and the names that they stand or stood between.</summary>
    public async Task<IReadOnlyList<(AliasKind Kind, string Alternate)>> NamesOfAsync(
        string organisation, IReadOnlyCollection<string> aliases, CancellationToken cancellation) =>
        await database.ReadAsync(
            $"""
            select distinct kind, alternate from {database.Schema}.alias_change
            where organisation = $1 and alias = any($2)
            """,
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = [.. aliases] },
            ],
            reader => (Kinds[reader.GetString(0)], reader.GetString(1)),
            cancellation);

    private static AliasChange Change(NpgsqlDataReader reader) => new(
        Kinds[reader.GetString(0)],
        reader.GetString(1),
        reader.IsDBNull(2) ? null : reader.GetString(2),
        reader.GetInt64(3),
        reader.GetFieldValue<DateTimeOffset>(4));
}
