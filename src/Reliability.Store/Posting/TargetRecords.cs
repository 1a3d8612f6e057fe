using System.Globalization;
using Npgsql;
using Reliability.History.Aliases;
using Reliability.Store.Aliases;
using Reliability.Store.Log;
using Reliability.Store.Readings;

namespace Reliability.Store.Posting;

/// <summary>
/// Whether an event that was posted before is in the record that a correction is for: on a stream of the record's own, or
/// among its readings in a sheet. An event in another record is none to correct.
/// </summary>
internal sealed class TargetRecords(Database database)
{
    // A window's sheet is stored with its other events, but those of other writers may come in between.
    private const int LongestWindow = 16_384;

    private readonly AliasReader _aliases = new(database);
    private readonly string _schema = database.Schema;

    /// <summary>Those of the targets that are in the record that they are sought in.</summary>
    /// <param name="connection">Where to look.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="sought">The stream keys of corrections, and what they correct.</param>
    /// <param name="posted">Events that come now, by id, with their stream keys.</param>
    public async Task<HashSet<(string Record, Guid Target)>> FindAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyCollection<(string Record, Guid Target)> sought,
        IReadOnlyDictionary<Guid, string> posted)
    {
        var aliases = await _aliases.ReadAsync(organisation, CancellationToken.None);
        var found = new HashSet<(string Record, Guid Target)>();
        // Ids that were found to be one module's have one record; the key of a host's meter is nobody's alias.
        List<(string Record, Guid Target, string Key)> left =
        [
            .. sought.Distinct().SelectMany(each => aliases.Names(AliasKind.Module, each.Record)
                .Select(key => (each.Record, each.Target, key))),
        ];
        Settle((key, target) => posted.GetValueOrDefault(target) == key);
        if (left.Count == 0) return found;
        var stored = await OnStreamsAsync(connection, organisation, left);
        Settle((key, target) => stored.Contains((key, target)));
        if (left.Count == 0) return found;
        var read = await InSheetsAsync(connection, organisation, left);
        Settle((key, target) => read.Contains((key, target)));
        return found;

        void Settle(Func<string, Guid, bool> isThere)
        {
            foreach (var (record, target, key) in left)
                if (isThere(key, target)) found.Add((record, target));
            left.RemoveAll(each => found.Contains((each.Record, each.Target)));
        }
    }

    private async Task<HashSet<(string Key, Guid Target)>> OnStreamsAsync(
        NpgsqlConnection connection, string organisation, List<(string Record, Guid Target, string Key)> left) =>
        [
            .. await RowsAsync(
                connection,
                $"select stream_id, id from {_schema}.mt_events where tenant_id = $1 and stream_id = any($2) and id = any($3)",
                reader => (reader.GetString(0), reader.GetGuid(1)),
                Text(organisation), new NpgsqlParameter<string[]> { TypedValue = Keys(left) }, Ids(left)),
        ];

    private async Task<HashSet<(string Key, Guid Target)>> InSheetsAsync(
        NpgsqlConnection connection, string organisation, List<(string Record, Guid Target, string Key)> left)
    {
        var windows = (await RowsAsync(
            connection,
            $"""
            select posted.event_id, held.window_number, held.position
            from {_schema}.posted_event as posted
            join {_schema}.commit_window as held on held.organisation = $1 and held.window_number = posted.window_number
            where posted.event_id = any($2)
            """,
            reader => (Id: reader.GetGuid(0), Number: reader.GetInt64(1), Position: reader.GetInt64(2)),
            Text(organisation), Ids(left))).ToDictionary(row => row.Id, row => (row.Number, row.Position));
        // What is filed meanwhile is still among the sheets.
        var filedTo = (await RowsAsync(
            connection, $"select {LogProgress.Lives(database)}", reader => reader.GetInt64(0)))[0];
        var there = new HashSet<(string Key, Guid Target)>();
        var asked = left.Where(each => windows.ContainsKey(each.Target)).Select(each => (each.Key, windows[each.Target].Position)).Distinct().ToList();
        await AddFiledAsync(connection, organisation, [.. asked.Where(each => each.Position <= filedTo)], there);
        await AddUnfiledAsync(
            connection, organisation, [.. windows.Values.Where(window => window.Position > filedTo).Distinct()],
            [.. left.Select(each => each.Key)], there);
        return there;
    }

    private async Task AddFiledAsync(
        NpgsqlConnection connection, string organisation, List<(string Key, long Position)> asked, HashSet<(string Key, Guid Target)> there)
    {
        if (asked.Count == 0) return;
        foreach (var (key, bytes) in await RowsAsync(
            connection,
            $"""
            select distinct filed.module, filed.readings
            from unnest($2, $3) as asked (module, position)
            join {_schema}.module_readings as filed on filed.organisation = $1 and filed.module = asked.module
              and filed.floor_position < asked.position and filed.ceiling_position > asked.position - {LongestWindow}
            """,
            reader => (reader.GetString(0), reader.GetFieldValue<byte[]>(1)),
            Text(organisation),
            new NpgsqlParameter<string[]> { TypedValue = [.. asked.Select(each => each.Key)] },
            new NpgsqlParameter<long[]> { TypedValue = [.. asked.Select(each => each.Position)] }))
        {
            List<(long Position, History.Events.RecordedEvent Event)> readings = [];
            FiledBytes.Read(bytes, organisation, key, [], readings);
            there.UnionWith(readings.Select(reading => (key, reading.Event.EventId)));
        }
    }

    private async Task AddUnfiledAsync(
        NpgsqlConnection connection, string organisation, List<(long Number, long Position)> windows, HashSet<string> keys,
        HashSet<(string Key, Guid Target)> there)
    {
        if (windows.Count == 0) return;
        foreach (var sheet in await RowsAsync(
            connection,
            $"""
            select sheet.bdata from unnest($2, $3) as held (number, position)
            cross join lateral (
              select bdata from {_schema}.mt_events
              where seq_id <= held.position and seq_id > held.position - {LongestWindow}
                and type = '{ReadingSheet.KindName}' and tenant_id = $1 and correlation_id = held.number
              order by seq_id desc limit 1) as sheet
            """,
            reader => new ReadingSheet(reader.GetFieldValue<byte[]>(0)),
            Text(organisation),
            new NpgsqlParameter<string[]>
            {
                TypedValue = [.. windows.Select(window => window.Number.ToString(CultureInfo.InvariantCulture))],
            },
            new NpgsqlParameter<long[]> { TypedValue = [.. windows.Select(window => window.Position)] }))
        {
            var words = ReadingWords.Read(sheet.WordBytes());
            foreach (var block in sheet.Blocks().Where(block => keys.Contains(block.Key)))
                there.UnionWith(ReadingBlock.Read(sheet.BytesOf(block), words, organisation, block.Key, default)
                    .Select(reading => (block.Key, reading.EventId)));
        }
    }

    private static string[] Keys(List<(string Record, Guid Target, string Key)> left) =>
        [.. left.Select(each => each.Key).Distinct(StringComparer.Ordinal)];

    private static NpgsqlParameter<Guid[]> Ids(List<(string Record, Guid Target, string Key)> left) =>
        new() { TypedValue = [.. left.Select(each => each.Target).Distinct()] };

    private static NpgsqlParameter<string> Text(string text) => new() { TypedValue = text };

    private static async Task<List<T>> RowsAsync<T>(
        NpgsqlConnection connection, string sql, Func<NpgsqlDataReader, T> map, params NpgsqlParameter[] parameters)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        command.Parameters.AddRange(parameters);
        await using var reader = await command.ExecuteReaderAsync();
        var rows = new List<T>();
        while (await reader.ReadAsync()) rows.Add(map(reader));
        return rows;
    }
}
