using System.Globalization;
using Npgsql;
using NpgsqlTypes;
using Reliability.History.Events;
using Reliability.Store.Readings;
using Reliability.Store.Records;

namespace Reliability.Store.Posting;

/// <summary>
/// Makes the table of posted ids anew from the log: every event bears the number of its window, and what it says can be
/// hashed again. Windows that are missing are put back too. All or nothing; posts wait meanwhile, reads of the log do not.
/// </summary>
internal sealed class PostedIdsRebuild(Database database)
{
    private const int EventsAtATime = 500;

    private readonly string _schema = database.Schema;

    /// <summary>Makes the table anew.</summary>
    /// <returns>How many ids are in it.</returns>
    public Task<long> RunAsync(CancellationToken cancellation) => Failure.Translated(async () =>
    {
        await using var connection = await database.Source.OpenConnectionAsync(cancellation);
        await using var transaction = await connection.BeginTransactionAsync(cancellation);
        await ExecuteAsync(
            $"""
            -- It may take long between the statements, and is meant to.
            set local idle_in_transaction_session_timeout = 0;
            lock table {_schema}.posted_event in access exclusive mode;
            create temporary table recorded (
              event_id uuid, organisation text, position bigint, body_hash bigint, window_number bigint) on commit drop
            """);
        await using (var rows = await connection.BeginBinaryImportAsync("copy recorded from stdin (format binary)", cancellation))
        {
            rows.Timeout = TimeSpan.Zero;
            await foreach (var recorded in RecordedAsync(cancellation))
            {
                await rows.StartRowAsync(cancellation);
                await rows.WriteAsync(recorded.EventId, NpgsqlDbType.Uuid, cancellation);
                await rows.WriteAsync(recorded.Organisation, NpgsqlDbType.Text, cancellation);
                await rows.WriteAsync(recorded.Position, NpgsqlDbType.Bigint, cancellation);
                await rows.WriteAsync(recorded.BodyHash, NpgsqlDbType.Bigint, cancellation);
                if (recorded.Window is { } window) await rows.WriteAsync(window, NpgsqlDbType.Bigint, cancellation);
                else await rows.WriteNullAsync(cancellation);
            }
            await rows.CompleteAsync(cancellation);
        }
        // Events from before they bore a number: their window is the first that ends at or behind them, else one of their own.
        await ExecuteAsync(
            $"""
            create temporary table known_window on commit drop as
              select organisation, position, min(window_number) as window_number
              from {_schema}.commit_window group by organisation, position;
            create index on known_window (organisation, position);
            analyze known_window;
            update recorded set window_number = coalesce(
              (select known.window_number from known_window as known
                where known.organisation = recorded.organisation and known.position >= recorded.position
                order by known.position limit 1),
              -position)
            where window_number is null;
            insert into {_schema}.commit_window (organisation, window_number, position, catalogue_version)
              select organisation, window_number, max(position), coalesce((
                select max(seq_id) from {_schema}.mt_events
                where tenant_id = recorded.organisation and starts_with(stream_id, '{CatalogueStream.Prefix}')
                  and seq_id <= max(position)), 0)
              from recorded group by organisation, window_number
              on conflict do nothing;
            truncate {_schema}.posted_event
            """);
        await using var fill = new NpgsqlCommand(
            $"""
            insert into {_schema}.posted_event (event_id, body_hash, window_number)
            select distinct on (event_id) event_id, body_hash, window_number from recorded order by event_id, position
            """,
            connection)
        {
            CommandTimeout = 0,
        };
        long count = await fill.ExecuteNonQueryAsync(cancellation);
        await transaction.CommitAsync(cancellation);
        return count;

        async Task ExecuteAsync(string sql)
        {
            // Windows that are on their way are waited for.
            await using var command = new NpgsqlCommand(sql, connection) { CommandTimeout = 0 };
            await command.ExecuteNonQueryAsync(cancellation);
        }
    });

    /// <summary>All that was ever posted, out of the log.</summary>
    private async IAsyncEnumerable<Recorded> RecordedAsync(
        [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken cancellation)
    {
        string[] kinds = [ReadingSheet.KindName, .. EventKind.All.SelectMany(kind => kind.Names)];
        for (var after = 0L; ;)
        {
            var page = await database.ReadAsync(
                SheetPages.Query(
                    "seq_id, tenant_id, stream_id, id, type, timestamp, data, bdata, correlation_id",
                    $"{_schema}.mt_events where seq_id > $1 and type = any($2)", EventsAtATime),
                [
                    new NpgsqlParameter<long> { TypedValue = after },
                    new NpgsqlParameter<string[]> { TypedValue = kinds },
                ],
                Row, cancellation);
            foreach (var (position, organisation, window, events) in page)
            {
                after = position;
                foreach (var recorded in events)
                    yield return new Recorded(
                        recorded.EventId, organisation, position, PostedEvent.HashOf(recorded), window);
            }
            if (page.Count == 0) yield break;
        }
    }

    private static (long Position, string Organisation, long? Window, IEnumerable<RecordedEvent> Events) Row(
        NpgsqlDataReader reader)
    {
        var organisation = reader.GetString(1);
        var recordTime = reader.GetFieldValue<DateTimeOffset>(5);
        return (
            reader.GetInt64(0),
            organisation,
            !reader.IsDBNull(8) && long.TryParse(
                reader.GetString(8), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null,
            reader.IsDBNull(7)
                ? [EventKind.Read(reader.GetString(4), reader.GetFieldValue<byte[]>(6))
                    .ToRecorded(reader.GetGuid(3), reader.GetString(2), recordTime)]
                : new ReadingSheet(reader.GetFieldValue<byte[]>(7)).Readings(organisation, recordTime));
    }

    /// <summary>A posted event as the log holds it.</summary>
    private readonly record struct Recorded(
        Guid EventId, string Organisation, long Position, long BodyHash, long? Window);
}
