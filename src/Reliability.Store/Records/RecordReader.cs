using System.Runtime.CompilerServices;
using Npgsql;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.Store.Aliases;
using Reliability.Store.Notes;
using Reliability.Store.Readings;

namespace Reliability.Store.Records;

/// <summary>
/// Reads whole records out of the log, archived modules included: what is on the streams of the modules under all their ids,
/// their readings, and those of the meters of their hosts.
/// Marten's table is read directly: a record is read far more often than it is written, and this way costs one query and no
/// wrapper an event.
/// </summary>
internal sealed class RecordReader(Database database)
{
    /// <summary>How many records are read at a time: enough for the queries, few enough to be dropped while they are young.</summary>
    public const int Chunk = 200;

    private readonly UnfiledSheets _unfiled = new(database);
    private readonly AliasReader _aliases = new(database);

    /// <summary>
    /// The records of these modules with all readings that are filed: as far as lives have come. Modules without any event
    /// are left out; of ids that were joined there is one record, under the primary id.
    /// </summary>
    public Task<IReadOnlyList<StoredRecord>> ReadAsync(
        string organisation, IReadOnlyList<string> modules, DateTimeOffset? aliasesAsOf, CancellationToken cancellation) =>
        ReadAsync(organisation, modules, aliasesAsOf, withUnfiled: false, cancellation);

    /// <summary>
    /// The whole record of a module at this moment: every event that has a receipt is in. Null when there is none.
    /// </summary>
    public async Task<StoredRecord?> ReadLatestAsync(
        string organisation, string module, DateTimeOffset? aliasesAsOf, CancellationToken cancellation) =>
        await ReadAsync(organisation, [module], aliasesAsOf, withUnfiled: true, cancellation) is [var record] ? record : null;

    /// <summary>Ids of all modules that have events, in order.</summary>
    public async IAsyncEnumerable<string> ModulesAsync(
        string organisation, [EnumeratorCancellation] CancellationToken cancellation)
    {
        var after = "";
        while (true)
        {
            var ids = await database.ReadAsync(
                $"""
                select id from (
                  (select id from {database.Schema}.mt_streams
                    where tenant_id = $1 and id > $2 and strpos(id, '/') = 0 order by id limit {Chunk})
                  union
                  (select distinct module from {database.Schema}.module_readings
                    where organisation = $1 and module > $2 and strpos(module, '/') = 0 order by module limit {Chunk})
                ) as modules order by id limit {Chunk}
                """,
                [
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<string> { TypedValue = after },
                ],
                reader => reader.GetString(0),
                cancellation);
            foreach (var id in ids) yield return id;
            if (ids.Count < Chunk) yield break;
            after = ids[^1];
        }
    }

    private async Task<IReadOnlyList<StoredRecord>> ReadAsync(
        string organisation, IReadOnlyList<string> modules, DateTimeOffset? aliasesAsOf, bool withUnfiled,
        CancellationToken cancellation)
    {
        // Aliases before records: rows derived under newer aliases rest on records that are as new.
        var aliases = await _aliases.ReadAsync(organisation, aliasesAsOf, cancellation);
        var names = modules.Where(RecordScope.IsModule).Select(module => aliases.Primary(AliasKind.Module, module)).Distinct(StringComparer.Ordinal)
            .ToDictionary(primary => primary, primary => aliases.Names(AliasKind.Module, primary), StringComparer.Ordinal);
        var own = await ReadKeysAsync(organisation, names.Values.SelectMany(each => each), withUnfiled, cancellation);
        var hosts = names.ToDictionary(
            module => module.Key,
            module => HostRecord.KeysNamed(module.Value.SelectMany(id => own[id].Events).Select(stored => stored.Event)),
            StringComparer.Ordinal);
        var meters = await ReadKeysAsync(organisation, hosts.Values.SelectMany(each => each), withUnfiled, cancellation);

        var records = new List<StoredRecord>(names.Count);
        foreach (var (module, ids) in names)
        {
            List<(long Position, RecordedEvent Event)> events = ids is [var only]
                ? own[only].Events
                : [.. ids.SelectMany(id => own[id].Events)];
            if (events.Count == 0) continue;
            events.AddRange(hosts[module].SelectMany(host => meters[host].Events));
            records.Add(new StoredRecord(module, events)
            {
                JoinedModules = [.. ids.Skip(1)],
                SheetPosition = ids.Max(id => own[id].Sheets.DefaultIfEmpty().Max()),
                Aliases = aliases,
            });
        }
        return records;
    }

    private async Task<Dictionary<string, KeyRecord>> ReadKeysAsync(
        string organisation, IEnumerable<string> keys, bool withUnfiled, CancellationToken cancellation)
    {
        var read = keys.Distinct(StringComparer.Ordinal)
            .ToDictionary(key => key, _ => new KeyRecord(), StringComparer.Ordinal);
        if (read.Count == 0) return read;
        // First what is not filed yet: what is filed meanwhile is read a second time and passed over, never missed.
        if (withUnfiled) await AddUnfiledAsync(organisation, read, cancellation);
        await AddFiledAsync(organisation, read, cancellation);
        await AddOwnAsync(organisation, read, cancellation);
        return read;
    }

    /// <summary>Adds what is on the streams of the keys themselves.</summary>
    private async Task AddOwnAsync(
        string organisation, Dictionary<string, KeyRecord> read, CancellationToken cancellation)
    {
        foreach (var (position, recorded) in await database.ReadAsync(
            $"""
            select stream_id, seq_id, id, type, timestamp, data from {database.Schema}.mt_events
            where tenant_id = $1 and stream_id = any($2) and type <> '{NoteErasedV1.KindName}' order by stream_id, version
            """,
            Keys(organisation, read), OwnEvent, cancellation))
            read[recorded.ModuleId].Events.Add((position, recorded));
    }

    /// <summary>Adds filed readings.</summary>
    private async Task AddFiledAsync(
        string organisation, Dictionary<string, KeyRecord> read, CancellationToken cancellation)
    {
        foreach (var (key, readings) in await database.ReadAsync(
            $"""
            select module, readings from {database.Schema}.module_readings
            where organisation = $1 and module = any($2) order by module, floor_position
            """,
            Keys(organisation, read),
            reader => (Key: reader.GetString(0), Readings: reader.GetFieldValue<byte[]>(1)),
            cancellation))
            FiledBytes.Read(readings, organisation, key, read[key].Sheets, read[key].Events);
    }

    /// <summary>Adds the readings of sheets that lives have not come to yet.</summary>
    private async Task AddUnfiledAsync(
        string organisation, Dictionary<string, KeyRecord> read, CancellationToken cancellation)
    {
        await foreach (var (position, recordTime, sheet) in _unfiled.ReadAsync(organisation, cancellation))
            foreach (var block in sheet.Blocks())
            {
                if (!read.TryGetValue(block.Key, out var record) || !record.Sheets.Add(position)) continue;
                var words = ReadingWords.Read(sheet.WordBytes());
                foreach (var reading in ReadingBlock.Read(
                    sheet.BytesOf(block), words, organisation, block.Key, recordTime))
                    record.Events.Add((position, reading));
            }
    }

    private static NpgsqlParameter[] Keys(string organisation, Dictionary<string, KeyRecord> read) =>
    [
        new NpgsqlParameter<string> { TypedValue = organisation },
        new NpgsqlParameter<string[]> { TypedValue = [.. read.Keys] },
    ];

    private static (long Position, RecordedEvent Event) OwnEvent(NpgsqlDataReader reader)
    {
        var stored = EventKind.Read(reader.GetString(3), reader.GetFieldValue<byte[]>(5));
        return (
            reader.GetInt64(1),
            stored.ToRecorded(reader.GetGuid(2), reader.GetString(0), reader.GetFieldValue<DateTimeOffset>(4)));
    }

    /// <summary>What was read of one stream key.</summary>
    private sealed class KeyRecord
    {
        public List<(long Position, RecordedEvent Event)> Events { get; } = [];

        /// <summary>Positions of the sheets that its readings were taken from.</summary>
        public HashSet<long> Sheets { get; } = [];
    }
}
