using Marten;
using Marten.Services;
using Npgsql;
using Reliability.History.Lives;
using Reliability.Store.Records;
using Reliability.Store.Revisions;
using Reliability.Store.Schema;

namespace Reliability.Store.Posting;

/// <summary>
/// One commit: ids into the table of posted ids, new events onto their streams, in one transaction. Ids and streams are
/// locked in sorted order, ids first, so that commits of several processes queue up and never deadlock.
/// </summary>
internal sealed class WindowCommit(Database database, IDocumentStore documents)
{
    private readonly PostedIds _posted = new(database);
    private readonly UnresolvedCheck _unresolved = new(database);
    private readonly string _schema = database.Schema;
    private long _nextNumber;
    private long _numbersEnd;

    /// <summary>A number for a window, never given before.</summary>
    public async Task<long> NextNumberAsync()
    {
        if (_nextNumber == _numbersEnd)
        {
            var block = (await database.ReadAsync(
                $"select nextval('{_schema}.commit_window_number')", [], reader => reader.GetInt64(0),
                CancellationToken.None))[0];
            _nextNumber = block * StoreSchema.WindowNumbersTaken;
            _numbersEnd = _nextNumber + StoreSchema.WindowNumbersTaken;
        }
        return _nextNumber++;
    }

    /// <summary>Commits events of one organisation.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="events">The events; an id may come more than once.</param>
    /// <param name="number">Number of the window, the same for every attempt.</param>
    /// <returns>What became of each event, in the order given.</returns>
    public async Task<IReadOnlyList<RecordOutcome>> CommitAsync(
        string organisation, IReadOnlyList<PostedEvent> events, long number)
    {
        var first = new Dictionary<Guid, PostedEvent>(events.Count);
        foreach (var posted in events) first.TryAdd(posted.Event.EventId, posted);

        await using var connection = await database.Source.OpenConnectionAsync();
        await using var transaction = await connection.BeginTransactionAsync();
        var before = await _posted.AddAsync(connection, organisation, first.Values, number);
        // An earlier attempt of this very window may have been committed after all: then all is done.
        var fresh = before.Values.Any(known => known.Window == number)
            ? []
            : first.Values.Where(posted => !before.ContainsKey(posted.Event.EventId)).ToList();
        var unresolved = await _unresolved.FindAsync(
            connection, organisation, Accepted(events, first, before).Select(posted => posted.Event));
        var revision = default(Revision);
        if (fresh.Count > 0)
        {
            await PrepareStreamsAsync(connection, organisation, fresh);
            var position = await AppendAsync(transaction, organisation, fresh);
            revision = await AddWindowAsync(connection, organisation, number, position);
        }
        await transaction.CommitAsync();

        StoreTelemetry.EventsRecorded.Add(fresh.Count);
        return Outcomes(events, first, before, unresolved, revision, number);
    }

    private static IEnumerable<PostedEvent> Accepted(
        IReadOnlyList<PostedEvent> events, Dictionary<Guid, PostedEvent> first, Dictionary<Guid, KnownId> before) =>
        events.Where(posted => SaysTheSame(posted, first, before));

    /// <summary>Whether an event says what the first post of its id said.</summary>
    private static bool SaysTheSame(
        PostedEvent posted, Dictionary<Guid, PostedEvent> first, Dictionary<Guid, KnownId> before) =>
        posted.BodyHash == (before.TryGetValue(posted.Event.EventId, out var known)
            ? known.BodyHash
            : first[posted.Event.EventId].BodyHash);

    private static RecordOutcome[] Outcomes(
        IReadOnlyList<PostedEvent> events, Dictionary<Guid, PostedEvent> first, Dictionary<Guid, KnownId> before,
        IReadOnlyDictionary<Guid, UnresolvedReason> unresolved, Revision revision, long number)
    {
        var told = new HashSet<Guid>();
        var outcomes = new RecordOutcome[events.Count];
        for (var i = 0; i < outcomes.Length; i++)
        {
            var id = events[i].Event.EventId;
            if (!SaysTheSame(events[i], first, before))
            {
                outcomes[i] = new RecordOutcome.OtherBody();
                StoreTelemetry.EventsRefused.Add(1);
                continue;
            }
            var known = before.GetValueOrDefault(id);
            var duplicate = !told.Add(id) || (known is not null && known.Window != number);
            if (duplicate) StoreTelemetry.EventsRepeated.Add(1);
            outcomes[i] = new RecordOutcome.Receipt(
                known?.Revision ?? revision,
                duplicate,
                unresolved.TryGetValue(id, out var reason) ? reason : null);
        }
        return outcomes;
    }

    /// <summary>
    /// Locks the streams that exist, in order, and waits for its turn to make those that do not. Brings archived ones
    /// back: a late event is never lost, and Marten refuses appends to an archived stream.
    /// </summary>
    private async Task PrepareStreamsAsync(
        NpgsqlConnection connection, string organisation, IReadOnlyList<PostedEvent> events)
    {
        string[] modules = [.. events.Select(posted => posted.Event.ModuleId).Distinct().Order(StringComparer.Ordinal)];
        var archived = new List<string>();
        var found = 0;
        await using (var command = new NpgsqlCommand(
            $"select id, is_archived from {_schema}.mt_streams where tenant_id = $1 and id = any($2) order by id for update",
            connection)
        {
            Parameters =
            {
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = modules },
            },
        })
        await using (var reader = await command.ExecuteReaderAsync())
        {
            for (; await reader.ReadAsync(); found++)
                if (reader.GetBoolean(1)) archived.Add(reader.GetString(0));
        }
        if (found < modules.Length)
            await StreamCreation.LockAsync(connection, database, organisation, CancellationToken.None);
        if (archived.Count == 0) return;
        foreach (var (table, key) in new[] { ("mt_streams", "id"), ("mt_events", "stream_id") })
        {
            await using var command = new NpgsqlCommand(
                $"update {_schema}.{table} set is_archived = false where tenant_id = $1 and {key} = any($2)", connection)
            {
                Parameters =
                {
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<string[]> { TypedValue = [.. archived] },
                },
            };
            await command.ExecuteNonQueryAsync();
        }
    }

    /// <summary>Appends in order of stream; returns the position of the last event.</summary>
    private async Task<long> AppendAsync(
        NpgsqlTransaction transaction, string organisation, List<PostedEvent> fresh)
    {
        var options = SessionOptions.ForTransaction(transaction);
        options.TenantId = organisation;
        options.Tracking = DocumentTracking.None;
        await using var session = documents.OpenSession(options);
        var appended = new List<JasperFx.Events.IEvent>(fresh.Count);
        foreach (var module in fresh.GroupBy(posted => posted.Event.ModuleId)
            .OrderBy(group => group.Key, StringComparer.Ordinal))
        {
            var events = module.Select(posted =>
            {
                var wrapped = session.Events.BuildEvent(EventKind.Of(posted.Event.Body).Store(posted.Event));
                wrapped.Id = posted.Event.EventId;
                return wrapped;
            }).ToList();
            session.Events.Append(module.Key, events);
            appended.AddRange(events);
        }
        await session.SaveChangesAsync();
        return appended.Max(stored => stored.Sequence);
    }

    private async Task<Revision> AddWindowAsync(
        NpgsqlConnection connection, string organisation, long number, long position)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {_schema}.commit_window (organisation, window_number, position, catalogue_version)
            select $1, $2, $3, coalesce(max(position), 0) from {_schema}.module_model where organisation = $1
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
