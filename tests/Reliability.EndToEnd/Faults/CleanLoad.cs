using Reliability.EndToEnd.Faults;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

[assembly: AssemblyFixture(typeof(CleanLoad))]

namespace Reliability.EndToEnd.Faults;

/// <summary>
/// The yardstick: the demo data posted once, in order, to a service of its own where nothing goes wrong; when a test first compares with
/// it, and once for all tests.
/// </summary>
public sealed class CleanLoad
{
    private const int BatchSize = 500;

    private readonly Lazy<IReadOnlyList<ModuleEvent>> _events = new(DemoRecord.Read);
    private readonly Lazy<Task<IReadOnlyList<Life>>> _lives;

    public CleanLoad() => _lives = new(PostAsync);

    public IReadOnlyList<ModuleEvent> Events => _events.Value;

    /// <summary>Holds other lives to these, in every field but the revision.</summary>
    internal async Task AssertSameAsync(IReadOnlyList<Life> lives)
    {
        var clean = await _lives.Value;
        Assert.Equal(clean.Select(life => (life.Module, life.LifeNumber)), lives.Select(life => (life.Module, life.LifeNumber)));
        foreach (var (expected, actual) in clean.Zip(lives))
            Assert.Equal(expected, actual);
    }

    private async Task<IReadOnlyList<Life>> PostAsync()
    {
        Assert.True(Events.Count > 7_000);
        Assert.Distinct(Events.Select(posted => posted.EventId));
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync());
        await Loading.AddModelsAsync(clients);
        var receipts = await Loading.PostAllAsync(clients, Events, BatchSize);
        Assert.DoesNotContain(receipts, receipt => receipt.Duplicate);
        var lives = await Loading.LivesAsync(clients, receipts);
        Assert.True(lives.Count > 800);
        return lives;
    }
}
