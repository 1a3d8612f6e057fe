using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>The yardstick: the demo data posted once, in order, to a service of its own where nothing goes wrong.</summary>
public sealed class CleanLoad : IAsyncLifetime
{
    private const int BatchSize = 500;

    public IReadOnlyList<ModuleEvent> Events { get; } = DemoRecord.Read();

    public IReadOnlyList<Life> Lives { get; private set; } = [];

    public async ValueTask InitializeAsync()
    {
        Assert.True(Events.Count > 7_000);
        Assert.Distinct(Events.Select(posted => posted.EventId));
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync());
        await Loading.AddModelsAsync(clients);
        var receipts = await Loading.PostAllAsync(clients, Events, BatchSize);
        Assert.DoesNotContain(receipts, receipt => receipt.Duplicate);
        Lives = await Loading.LivesAsync(clients, receipts);
        Assert.True(Lives.Count > 800);
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    /// <summary>Holds other lives to these, in every field but the revision.</summary>
    internal void AssertSame(IReadOnlyList<Life> lives)
    {
        Assert.Equal(Lives.Select(life => (life.Module, life.LifeNumber)), lives.Select(life => (life.Module, life.LifeNumber)));
        foreach (var (expected, actual) in Lives.Zip(lives))
            Assert.Equal(expected, actual);
    }
}
