using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.PostgresInstance;

/// <summary>PostgreSQL is killed while events are on their way: every receipt holds, every event is there once.</summary>
public sealed class KilledServerTests : IDisposable
{
    private readonly string _data = TemporaryFolder.Create();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_data, recursive: true);

    [Fact]
    public async Task Receipts_hold_and_posting_goes_on_when_the_server_is_killed()
    {
        await using var store = new ReliabilityStore(
            new ReliabilityStoreOptions { DataDirectory = _data }, NullLoggerFactory.Instance);
        await store.StartAsync(Cancellation);
        var receipts = 0;
        var killed = 0;
        var posting = Task.WhenAll(Enumerable.Range(0, 4).Select(async poster =>
        {
            for (var n = 0; n < 60; n++)
            {
                var outcomes = await store.Default.Events.RecordAsync(
                    Scenario.WholeHistory($"m-{poster}-{n}"), Cancellation);
                Interlocked.Add(ref receipts, outcomes.OfType<RecordOutcome.Receipt>().Count());
                // Two kills at set points of the work, with the other posters under way.
                if (poster == 0 && n is 10 or 35)
                {
                    Kill();
                    killed++;
                }
            }
        }));

        await posting;

        Assert.Equal(2, killed);
        Assert.Equal(4 * 60 * 9, receipts);
        var record = await RecordIdsAsync();
        Assert.Equal(4 * 60 * 9, record.Count);
        Assert.Equal(4 * 60 * 9, record.Distinct().Count());
        var again = await store.Default.Events.RecordAsync(
            [.. Enumerable.Range(0, 4).SelectMany(poster => Scenario.WholeHistory($"m-{poster}-59"))], Cancellation);
        Assert.All(again, outcome => Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        var last = again.OfType<RecordOutcome.Receipt>().Max(receipt => receipt.Revision.Position);
        await store.Default.Revisions.WaitAsync(
            new(ReliabilityStore.DefaultOrganisation, last, 0), TimeSpan.FromSeconds(30), Cancellation);
        Assert.Equal(
            4 * 60, (await store.Default.Modules.ListAsync(new(), null, 1000, null, Cancellation)).Items.Count);
    }

    private void Kill()
    {
        var pidFile = Path.Combine(_data, "postgresql", "data", "postmaster.pid");
        using var server = Process.GetProcessById(
            int.Parse(File.ReadLines(pidFile).First(), System.Globalization.CultureInfo.InvariantCulture));
        server.Kill();
    }

    private async Task<List<Guid>> RecordIdsAsync()
    {
        var folder = new Store.PostgresInstance.ClusterFolder(_data);
        var connection = new NpgsqlConnectionStringBuilder
        {
            Host = "127.0.0.1",
            Port = int.Parse(
                await File.ReadAllTextAsync(folder.Port, Cancellation),
                System.Globalization.CultureInfo.InvariantCulture),
            Username = "reliability",
            Password = await File.ReadAllTextAsync(folder.Password, Cancellation),
            Database = "reliability",
            Pooling = false,
        };
        return await RecordedLog.IdsAsync(connection.ConnectionString, "reliability", Cancellation);
    }
}
