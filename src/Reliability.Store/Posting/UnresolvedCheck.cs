using System.Collections.Concurrent;
using Npgsql;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Records;

namespace Reliability.Store.Posting;

/// <summary>
/// A quick look at what posted events still wait for, for their receipts: a registration, a module model, the event to
/// put right. It reads no record; the full standing of an event comes from the derivation.
/// </summary>
internal sealed class UnresolvedCheck
{
    private const int Remembered = 500_000;

    private readonly Database _database;
    private readonly TargetRecords _targets;
    private readonly Func<string, IEnumerable<RecordedEvent>> _underWay;

    // What is known stays known, so it is remembered.
    private readonly ConcurrentDictionary<(string Organisation, UnresolvedReason Reason), ConcurrentDictionary<string, bool>>
        _memories;

    public UnresolvedCheck(Database database)
        : this(database, new(), _ => [])
    {
    }

    private UnresolvedCheck(
        Database database,
        ConcurrentDictionary<(string Organisation, UnresolvedReason Reason), ConcurrentDictionary<string, bool>> memories,
        Func<string, IEnumerable<RecordedEvent>> underWay)
    {
        (_database, _memories, _underWay) = (database, memories, underWay);
        _targets = new TargetRecords(database);
    }

    /// <summary>
    /// The check of a writer beside which others commit: what they are committing counts as arrived too, although it cannot be seen
    /// yet. Of posts that come in the right order none is said to wait for one before it. Should that one fail after all, its own
    /// caller is told.
    /// </summary>
    /// <param name="underWay">What they are committing just now for an organisation, as it is at the call.</param>
    public UnresolvedCheck Beside(Func<string, IEnumerable<RecordedEvent>> underWay) => new(_database, _memories, underWay);

    /// <summary>What events wait for, by event id; events that wait for nothing are left out.</summary>
    /// <param name="connection">Where to look.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="events">The events; each counts as arrived for the others.</param>
    public async Task<IReadOnlyDictionary<Guid, UnresolvedReason>> FindAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyCollection<RecordedEvent> events)
    {
        var unresolved = new Dictionary<Guid, UnresolvedReason>();
        // Before the database is asked: what has left it by then is committed, and is found there.
        var underWay = _underWay(organisation);
        await AddMissingAsync(UnresolvedReason.ModelUnknown, ModelSql, posted => posted.Body switch
        {
            RegisteredV1 registered => registered.Model,
            LifeReportedV1 reported => reported.Model,
            _ => null,
        });
        var registeredHere = events.Concat(underWay).Where(posted => posted.Body is RegisteredV1)
            .Select(posted => posted.ModuleId).ToHashSet(StringComparer.Ordinal);
        await AddMissingAsync(
            UnresolvedReason.ModuleNotRegistered, RegisteredSql,
            posted => NeededModule(posted) is { } module && !registeredHere.Contains(module) ? module : null);
        await AddMissingTargetsAsync();
        return unresolved;

        async Task AddMissingAsync(UnresolvedReason reason, string sql, Func<RecordedEvent, string?> needs)
        {
            var memory = _memories.GetOrAdd((organisation, reason), _ => new(StringComparer.Ordinal));
            var waiting = new List<(Guid EventId, string Needs)>();
            foreach (var posted in events)
                if (needs(posted) is { } needed && !memory.ContainsKey(needed)) waiting.Add((posted.EventId, needed));
            if (waiting.Count == 0) return;
            if (memory.Count > Remembered) memory.Clear();
            var there = await ThereAsync(
                connection, organisation, sql,
                [.. waiting.Select(wait => wait.Needs).Distinct(StringComparer.Ordinal)]);
            foreach (var needed in there) memory[needed] = true;
            foreach (var (eventId, needed) in waiting)
                if (!there.Contains(needed)) unresolved[eventId] = reason;
        }

        async Task AddMissingTargetsAsync()
        {
            var corrections = new List<(Guid EventId, string Record, Guid Target)>();
            foreach (var posted in events)
                if (Target(organisation, posted.Body) is { } target) corrections.Add((posted.EventId, posted.ModuleId, target));
            if (corrections.Count == 0) return;
            // An id may come more than once, and says the same each time.
            var here = new Dictionary<Guid, string>();
            foreach (var posted in events.Concat(underWay)) here.TryAdd(posted.EventId, posted.ModuleId);
            var there = await _targets.FindAsync(
                connection, organisation, [.. corrections.Select(correction => (correction.Record, correction.Target))], here);
            foreach (var (eventId, record, target) in corrections)
                if (!there.Contains((record, target))) unresolved[eventId] = UnresolvedReason.TargetMissing;
        }
    }

    /// <summary>The module whose registration an event rests on; null where it rests on none.</summary>
    public static string? NeededModule(RecordedEvent posted) =>
        posted.Body is RegisteredV1 or LifeReportedV1 or RetractedV1 or ReplacedV1 || !RecordScope.IsModule(posted.ModuleId)
            ? null
            : posted.ModuleId;

    private string ModelSql =>
        $"select model from {_database.Schema}.module_model where organisation = $1 and model = any($2)";

    private string RegisteredSql =>
        $"""
        select distinct stream_id from {_database.Schema}.mt_events
        where tenant_id = $1 and stream_id = any($2) and type in ('{string.Join("', '", EventKind.Of<RegisteredV1>().Names)}')
        """;

    /// <summary>The event that a correction speaks of.</summary>
    public static Guid? Target(string organisation, EventBody body) => body switch
    {
        RetractedV1 retracted =>
            EventIdentity.EventId(organisation, retracted.TargetSource, retracted.TargetEventId),
        ReplacedV1 replaced => EventIdentity.EventId(organisation, replaced.TargetSource, replaced.TargetEventId),
        _ => null,
    };

    private static async Task<HashSet<string>> ThereAsync(
        NpgsqlConnection connection, string organisation, string sql, string[] ids)
    {
        var there = new HashSet<string>(StringComparer.Ordinal);
        await using var command = new NpgsqlCommand(sql, connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = ids },
            },
        };
        await using var reader = await command.ExecuteReaderAsync();
        while (await reader.ReadAsync()) there.Add(reader.GetString(0));
        return there;
    }
}
