using System.Globalization;
using Marten;
using Marten.Services;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Lives;
using Reliability.Store.Posting;
using Reliability.Store.Readings;
using Reliability.Store.Records;
using Reliability.Store.Schema;
using Reliability.Store.Tests.Records;
using Xunit;

namespace Reliability.Store.Tests.Posting;

/// <summary>What is appended in one statement is what Marten would have appended.</summary>
public sealed class StreamAppendTests(SharedServer server) : StoreTest(server)
{
    private const string ByMarten = "by-marten", ByUs = "by-us", Sheets = "readings/0a1b";

    [Fact]
    public async Task The_rows_are_those_that_Marten_writes()
    {
        await using var source = NpgsqlDataSource.Create(Database.Suited(ConnectionString));
        var database = new Database(source, Options.Schema);
        await using var marten = MartenSetup.Build(Options, database, new LivesPace(database), NullLoggerFactory.Instance);
        var documents = marten.GetRequiredService<IDocumentStore>();
        var append = new StreamAppend(database, documents);
        // New streams, streams that go on, and both at once, with and without a sheet.
        foreach (var (number, part) in EveryKind.Events.Concat(Scenario.WholeHistory("m-a")).Concat(Scenario.WholeHistory("m-b"))
            .Concat(Scenario.WholeHistory("m-\"\\é'")).Chunk(9).Index())
        {
            var sheet = number % 2 == 0 ? ReadingSheet.Of([Scenario.Read("m-a", 100 + number, 5)]) : null;
            await InTransactionAsync(source, transaction => AppendByMartenAsync(documents, transaction, number, part, sheet));
            await InTransactionAsync(source, transaction => append.AppendAsync(
                transaction.Connection!, ByUs, number, part, sheet is null ? null : (Sheets, sheet)));
        }

        var expected = await RowsAsync(ByMarten);
        Assert.Equal(expected, await RowsAsync(ByUs));
        Assert.True(expected.Split('\n').Length > EveryKind.Events.Count + 27);
    }

    [Fact]
    public async Task The_position_is_that_of_the_last_event_and_rises_along_every_stream()
    {
        var position = ((RecordOutcome.Receipt)(await RecordAsync(
            [.. Scenario.WholeHistory("m-b"), .. Scenario.WholeHistory("m-a")]))[0]).Revision.Position;

        Assert.Equal(position, await ScalarAsync<long>("select max(seq_id) from mt_events"));
        Assert.Equal(0, await ScalarAsync<long>(
            """
            select count(*) from mt_events one join mt_events other using (tenant_id, stream_id)
            where one.version < other.version and one.seq_id > other.seq_id
            """));
    }

    private static async Task<long> AppendByMartenAsync(
        IDocumentStore documents, NpgsqlTransaction transaction, long number, RecordedEvent[] events, ReadingSheet? sheet)
    {
        var options = SessionOptions.ForTransaction(transaction);
        options.TenantId = ByMarten;
        await using var session = documents.OpenSession(options);
        session.CorrelationId = number.ToString(CultureInfo.InvariantCulture);
        foreach (var posted in events)
        {
            var wrapped = session.Events.BuildEvent(EventKind.Of(posted.Body).Store(posted));
            wrapped.Id = posted.EventId;
            session.Events.Append(posted.ModuleId, wrapped);
        }
        if (sheet is not null) session.Events.Append(Sheets, session.Events.BuildEvent(sheet));
        await session.SaveChangesAsync(Cancellation);
        return 0;
    }

    private static async Task InTransactionAsync(NpgsqlDataSource source, Func<NpgsqlTransaction, Task<long>> work)
    {
        await using var connection = await source.OpenConnectionAsync(Cancellation);
        await using var transaction = await connection.BeginTransactionAsync(Cancellation);
        await work(transaction);
        await transaction.CommitAsync(Cancellation);
    }

    /// <summary>
    /// Every column but those that tell the two apart: organisation, position, time, and the random id of a sheet; and but the one that
    /// is set when lives are derived, which is at no certain time.
    /// </summary>
    private Task<string> RowsAsync(string organisation) => ScalarAsync<string>(
        $"""
        select string_agg(line, E'\n' order by line collate "C") from (
          select 'event ' || stream_id || ' ' || (to_jsonb(e) - 'tenant_id' - 'seq_id' - 'timestamp' - 'is_archived'
            - case when bdata is null then '' else 'id' end)::text as line
          from mt_events e where tenant_id = '{organisation}'
          union all
          select 'stream ' || (to_jsonb(s) - 'tenant_id' - 'timestamp' - 'created' - 'is_archived')::text from mt_streams s
          where tenant_id = '{organisation}') as rows
        """);
}
