using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store.Posting;
using Reliability.Store.Revisions;
using Xunit;

namespace Reliability.Store.Tests;

/// <summary>A test in a schema of its own, with as many stores on it as it starts.</summary>
public abstract class StoreTest(SharedServer server) : IAsyncLifetime
{
    private readonly List<ReliabilityStore> _stores = [];

    protected static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Connection string whose plain table names are those of the test.</summary>
    protected string ConnectionString => new NpgsqlConnectionStringBuilder(server.ConnectionString)
    {
        SearchPath = Options.Schema,
    }.ConnectionString;

    protected ReliabilityStoreOptions Options { get; } = new()
    {
        ConnectionString = server.ConnectionString,
        Schema = server.NewSchema(),
    };

    /// <summary>The first store.</summary>
    protected ReliabilityStore Store => _stores[0];

    protected OrganisationStore Organisation => Store.Default;

    public async ValueTask InitializeAsync() => await StartStoreAsync();

    public async ValueTask DisposeAsync()
    {
        GC.SuppressFinalize(this);
        foreach (var store in _stores) await store.DisposeAsync();
        // A pool for each schema would keep a connection of each test open until the server has no more to give.
        await using var connection = new NpgsqlConnection(ConnectionString);
        NpgsqlConnection.ClearPool(connection);
    }

    /// <summary>Starts one more store on the same tables, as another process would.</summary>
    protected async Task<ReliabilityStore> StartStoreAsync()
    {
        var store = new ReliabilityStore(Options, NullLoggerFactory.Instance);
        _stores.Add(store);
        await store.StartAsync(Cancellation);
        return store;
    }

    protected Task<IReadOnlyList<RecordOutcome>> RecordAsync(params IReadOnlyList<RecordedEvent> events) =>
        Organisation.Events.RecordAsync(events, Cancellation);

    /// <summary>Posts, and waits until lives have taken it in.</summary>
    protected async Task RecordAndWaitAsync(params IReadOnlyList<RecordedEvent> events)
    {
        var outcomes = await RecordAsync(events);
        var last = outcomes.OfType<RecordOutcome.Receipt>().MaxBy(receipt => receipt.Revision.Position)!;
        await WaitAsync(last.Revision);
    }

    protected async Task WaitAsync(Revision revision) => Assert.Equal(
        RevisionWait.Reached,
        await Organisation.Revisions.WaitAsync(revision, TimeSpan.FromSeconds(20), Cancellation));

    protected async Task<T> ScalarAsync<T>(string sql)
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var command = new NpgsqlCommand(sql, connection);
        return (T)(await command.ExecuteScalarAsync(Cancellation))!;
    }

    /// <summary>The ids of all events of modules in the log.</summary>
    protected Task<List<Guid>> RecordedIdsAsync() =>
        RecordedLog.IdsAsync(ConnectionString, Options.Schema, Cancellation);

    /// <summary>All rows of lives, module states, identifiers and hosts, as text in order of key.</summary>
    protected Task<string> DerivedRowsAsync(bool withPositions = true, bool withAliasVersions = true)
    {
        // The operator with the path binds less than the others: it comes last.
        var without = (withAliasVersions ? "" : " - 'alias_version'")
            + (withPositions ? "" : " - 'position' - 'catalogue_version' #- '{continuation,sheetPosition}'");
        return ScalarAsync<string>(
            $"""
            select string_agg(line, E'\n' order by line) from (
              select 'life ' || (to_jsonb(l){without})::text || l.life::text as line from lives l
              union all select 'state ' || (to_jsonb(s){without})::text || s.summary::text from module_state s
              union all select 'host ' || to_jsonb(h)::text from module_host h
              union all select 'identifier ' || to_jsonb(i)::text from module_identifier i) as rows
            """);
    }
}
