using System.Collections.Concurrent;
using Npgsql;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Records;

namespace Reliability.Store.Posting;

/// <summary>
/// A quick look at what posted events still wait for, for their receipts: a registration, a module model, the event to
/// retract. It reads no record; the full standing of an event comes from the derivation.
/// </summary>
internal sealed class UnresolvedCheck(Database database)
{
    private const int Remembered = 200_000;

    private readonly ConcurrentDictionary<(string Organisation, string Id), bool> _registered = new();
    private readonly ConcurrentDictionary<(string Organisation, string Id), bool> _models = new();

    /// <summary>What events wait for, by event id; events that wait for nothing are left out.</summary>
    /// <param name="connection">Where to look.</param>
    /// <param name="organisation">The organisation.</param>
    /// <param name="events">The events; each counts as arrived for the others.</param>
    public async Task<IReadOnlyDictionary<Guid, UnresolvedReason>> FindAsync(
        NpgsqlConnection connection, string organisation, IEnumerable<RecordedEvent> events)
    {
        var waiting = new List<(Guid EventId, UnresolvedReason Reason, string Needs)>();
        var arrived = new HashSet<Guid>();
        var registeredHere = new HashSet<string>(StringComparer.Ordinal);
        foreach (var posted in events)
        {
            arrived.Add(posted.EventId);
            if (posted.Body is RegisteredV1) registeredHere.Add(posted.ModuleId);
            waiting.Add(posted.Body switch
            {
                RegisteredV1 registered => (posted.EventId, UnresolvedReason.ModelUnknown, registered.Model),
                LifeReportedV1 reported => (posted.EventId, UnresolvedReason.ModelUnknown, reported.Model),
                RetractedV1 retracted => Target(posted, retracted.TargetSource, retracted.TargetEventId),
                ReplacedV1 replaced => Target(posted, replaced.TargetSource, replaced.TargetEventId),
                _ => (posted.EventId, UnresolvedReason.ModuleNotRegistered, posted.ModuleId),
            });
        }
        var models = await KnownAsync(connection, organisation, _models, Needs(UnresolvedReason.ModelUnknown), ModelSql);
        var modules = await KnownAsync(
            connection, organisation, _registered,
            [.. Needs(UnresolvedReason.ModuleNotRegistered).Where(module => !registeredHere.Contains(module))],
            RegisteredSql);
        var targets = await PostedAsync(
            connection, organisation,
            [.. Needs(UnresolvedReason.TargetMissing).Select(Guid.Parse).Where(target => !arrived.Contains(target))]);

        var unresolved = new Dictionary<Guid, UnresolvedReason>();
        foreach (var (eventId, reason, needs) in waiting)
        {
            var known = reason switch
            {
                UnresolvedReason.ModelUnknown => models.Contains(needs),
                UnresolvedReason.TargetMissing =>
                    Guid.Parse(needs) is var target && (arrived.Contains(target) || targets.Contains(target)),
                _ => registeredHere.Contains(needs) || modules.Contains(needs),
            };
            if (!known) unresolved[eventId] = reason;
        }
        return unresolved;

        (Guid, UnresolvedReason, string) Target(RecordedEvent posted, string source, string originalId) => (
            posted.EventId, UnresolvedReason.TargetMissing,
            EventIdentity.EventId(organisation, source, originalId).ToString());

        string[] Needs(UnresolvedReason reason) =>
            [.. waiting.Where(wait => wait.Reason == reason).Select(wait => wait.Needs).Distinct(StringComparer.Ordinal)];
    }

    private string ModelSql =>
        $"select model from {database.Schema}.module_model where organisation = $1 and model = any($2)";

    private string RegisteredSql =>
        $"""
        select distinct stream_id from {database.Schema}.mt_events
        where tenant_id = $1 and stream_id = any($2) and type in ('{string.Join("', '", EventKind.Of<RegisteredV1>().Names)}')
        """;

    /// <summary>Those of the ids that are known. What is known stays known, so it is remembered.</summary>
    private static async Task<HashSet<string>> KnownAsync(
        NpgsqlConnection connection, string organisation,
        ConcurrentDictionary<(string Organisation, string Id), bool> memory, string[] ids, string sql)
    {
        var known = ids.Where(id => memory.ContainsKey((organisation, id))).ToHashSet(StringComparer.Ordinal);
        string[] asked = [.. ids.Where(id => !known.Contains(id))];
        if (asked.Length == 0) return known;
        await using var command = new NpgsqlCommand(sql, connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = asked },
            },
        };
        await using var reader = await command.ExecuteReaderAsync();
        if (memory.Count > Remembered) memory.Clear();
        while (await reader.ReadAsync())
        {
            known.Add(reader.GetString(0));
            memory[(organisation, reader.GetString(0))] = true;
        }
        return known;
    }

    private async Task<HashSet<Guid>> PostedAsync(NpgsqlConnection connection, string organisation, Guid[] ids)
    {
        var posted = new HashSet<Guid>();
        if (ids.Length == 0) return posted;
        await using var command = new NpgsqlCommand(
            $"select event_id from {database.Schema}.posted_event where organisation = $1 and event_id = any($2)",
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<Guid[]> { TypedValue = ids },
            },
        };
        await using var reader = await command.ExecuteReaderAsync();
        while (await reader.ReadAsync()) posted.Add(reader.GetGuid(0));
        return posted;
    }
}
