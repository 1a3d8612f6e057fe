using Microsoft.Extensions.Logging.Abstractions;
using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

/// <summary>
/// Posts that come in the right order, as a stream sends them: none is said to wait for one that came before it, although windows
/// are committed side by side.
/// </summary>
public sealed class OrderedPostsTests(SharedServer server) : StoreTest(server)
{
    private const int Modules = 400;

    [Fact]
    public async Task None_waits_for_what_came_before_it()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        // Small windows have many edges.
        await using var store = new ReliabilityStore(Options with { CommitWindowEvents = 3 }, NullLoggerFactory.Instance);
        await store.StartAsync(Cancellation);

        var posts = new List<Task<IReadOnlyList<RecordOutcome>>>();
        foreach (var posted in Enumerable.Range(0, Modules).SelectMany(n => InOrder($"m-{n}")))
            posts.Add(store.Default.Events.RecordAsync([posted], Cancellation));
        var outcomes = await Task.WhenAll(posts);

        Assert.All(outcomes, outcome => Assert.Null(Assert.IsType<RecordOutcome.Receipt>(outcome[0]).UnresolvedReason));
    }

    [Fact]
    public async Task What_was_refused_is_nothing_to_wait_for()
    {
        await RecordAsync(Scenario.Failed("m-1", 5, 10));
        // A registration under an id that says something else.
        var refused = Scenario.Registered("m-2") with { EventId = Scenario.Failed("m-1", 5, 10).EventId };

        var outcomes = await RecordAsync(refused, Scenario.Installed("m-2"));

        Assert.IsType<RecordOutcome.OtherBody>(outcomes[0]);
        Assert.Equal(
            History.Lives.UnresolvedReason.ModuleNotRegistered, Assert.IsType<RecordOutcome.Receipt>(outcomes[1]).UnresolvedReason);
    }

    private static RecordedEvent[] InOrder(string module)
    {
        var (failed, read) = (Scenario.Failed(module, 5, 10), Scenario.Read(module, 4, 9));
        return
        [
            Scenario.Registered(module), Scenario.Installed(module), read, Scenario.Retracted(module, read, 6), failed,
            Scenario.Retracted(module, failed, 7),
        ];
    }
}
