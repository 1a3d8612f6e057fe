using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests;

public sealed class StartTests(SharedServer server)
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Stores_that_start_at_once_on_an_empty_database_share_it()
    {
        var options = new ReliabilityStoreOptions
        {
            ConnectionString = server.ConnectionString,
            Schema = server.NewSchema(),
        };
        var stores = Enumerable.Range(0, 3)
            .Select(_ => new ReliabilityStore(options, NullLoggerFactory.Instance)).ToList();

        await Task.WhenAll(stores.Select(store => store.StartAsync(Cancellation)));

        var outcomes = new List<RecordOutcome>();
        foreach (var store in stores)
            outcomes.AddRange(await store.Default.Events.RecordAsync([Scenario.Registered("m-1")], Cancellation));
        Assert.Equal(
            [false, true, true], outcomes.Select(outcome => Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        foreach (var store in stores) await store.DisposeAsync();
    }

    [Fact]
    public async Task A_start_that_failed_at_first_leaves_others_their_turn()
    {
        var options = new ReliabilityStoreOptions { ConnectionString = server.ConnectionString, Schema = server.NewSchema() };
        await using (var earlier = new ReliabilityStore(options, NullLoggerFactory.Instance)) await earlier.StartAsync(Cancellation);
        await using var source = NpgsqlDataSource.Create(options.ConnectionString);
        await using var connection = await source.OpenConnectionAsync(Cancellation);
        // A table in its earlier form, which the next start renames, held by somebody for longer than that one waits.
        await ExecuteAsync($"alter table {options.Schema}.posted_event drop constraint pkey_posted_event_event_id, add column organisation text");
        await ExecuteAsync($"begin; select count(*) from {options.Schema}.posted_event");
        using var logs = new Warnings();
        await using var first = new ReliabilityStore(
            options with { ConnectionString = options.ConnectionString + ";Options=-c lock_timeout=200", StartPatience = Patience }, logs);
        var start = first.StartAsync(Cancellation);
        await logs.Told.WaitAsync(Patience, Cancellation);
        await ExecuteAsync("rollback");
        await start;

        await using var second = new ReliabilityStore(options, NullLoggerFactory.Instance);
        await second.StartAsync(Cancellation).WaitAsync(Patience, Cancellation);

        async Task ExecuteAsync(string sql)
        {
            await using var command = new NpgsqlCommand(sql, connection);
            await command.ExecuteNonQueryAsync(Cancellation);
        }
    }

    [Fact]
    public async Task A_store_that_is_not_started_says_so()
    {
        await using var store = new ReliabilityStore(new ReliabilityStoreOptions(), NullLoggerFactory.Instance);

        Assert.Throws<StoreUnavailableException>(() => store.Default);
        Assert.False((await store.CheckHealthAsync(Cancellation)).Ready);
    }

    [Theory]
    [InlineData("Password=wrong", "28P01")]
    [InlineData("Port=1", "127.0.0.1:1")]
    [InlineData("Database=nowhere", "3D000")]
    public async Task A_database_that_refuses_is_told_with_its_reason(string setting, string reason)
    {
        var options = new ReliabilityStoreOptions
        {
            ConnectionString = server.ConnectionString + ";" + setting,
            StartPatience = TimeSpan.Zero,
        };
        await using var store = new ReliabilityStore(options, NullLoggerFactory.Instance);

        var refused = await Assert.ThrowsAsync<StoreUnavailableException>(() => store.StartAsync(Cancellation));

        Assert.Contains("ConnectionStrings:Reliability", refused.Message, StringComparison.Ordinal);
        Assert.Contains(reason, refused.Message, StringComparison.Ordinal);
        var password = new NpgsqlConnectionStringBuilder(server.ConnectionString).Password!;
        Assert.DoesNotContain(password, refused.ToString(), StringComparison.Ordinal);
    }

    /// <summary>Tells of the first warning.</summary>
    private sealed class Warnings : ILoggerFactory, ILogger
    {
        private readonly TaskCompletionSource _told = new(TaskCreationOptions.RunContinuationsAsynchronously);

        public Task Told => _told.Task;

        public void AddProvider(ILoggerProvider provider)
        {
        }

        public ILogger CreateLogger(string categoryName) => categoryName.EndsWith(nameof(ReliabilityStore), StringComparison.Ordinal) ? this : NullLogger.Instance;

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => logLevel == LogLevel.Warning;

        public void Log<TState>(
            LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            if (IsEnabled(logLevel)) _told.TrySetResult();
        }

        public void Dispose()
        {
        }
    }
}
