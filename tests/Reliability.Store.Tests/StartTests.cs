using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests;

public sealed class StartTests(SharedServer server)
{
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
}
