using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Records;

/// <summary>The demo data posted twice, shuffled, through two services at once give the lives of one post in order.</summary>
public sealed class DemoDataTests
{
    private const int BatchSize = 200;

    [Fact]
    public async Task Order_repetition_and_parallel_posting_do_not_change_the_lives()
    {
        var events = DemoEvents.Read();
        Assert.True(events.Count > 5_000);

        var inOrder = await InOrderAsync(events);
        var shuffled = await ShuffledAsync(events);

        Assert.True(inOrder.Count > 300);
        Assert.Equal(inOrder.Count, shuffled.Count);
        foreach (var (expected, actual) in inOrder.Zip(shuffled))
            Assert.Equal(expected, actual);
    }

    private static async Task<IReadOnlyList<Life>> InOrderAsync(IReadOnlyList<ModuleEvent> events)
    {
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync());
        await AddModelsAsync(clients);
        var (posted, revision) = await PostAsync(clients, events);
        Assert.Equal(events.Count, posted);
        return await LivesAsync(clients, [revision]);
    }

    private static async Task<IReadOnlyList<Life>> ShuffledAsync(IReadOnlyList<ModuleEvent> events)
    {
        await using var own = new OwnService();
        using var one = new ServiceClients(await own.StartAsync());
        using var other = new ServiceClients(await own.StartBesideAsync());
        var (first, second) = (Shuffled(events, 1), Shuffled(events, 2));

        // Models arrive in the middle of it all.
        var posts = await Task.WhenAll(PostAsync(one, first), PostAsync(other, second), AddModelsAfterAsync(one));

        // Every event was taken as new exactly once, by one service or the other.
        Assert.Equal(events.Count, posts[0].Posted + posts[1].Posted);
        return await LivesAsync(other, [posts[0].Revision, posts[1].Revision]);
    }

    private static async Task<(int Posted, string Revision)> AddModelsAfterAsync(ServiceClients clients)
    {
        await Task.Delay(300, TestContext.Current.CancellationToken);
        await AddModelsAsync(clients);
        return (0, string.Empty);
    }

    private static async Task AddModelsAsync(ServiceClients clients)
    {
        foreach (var request in DemoEvents.ReadModels())
            await clients.Catalogue.CreateModuleModelAsync(request, cancellationToken: TestContext.Current.CancellationToken);
    }

    private static List<ModuleEvent> Shuffled(IReadOnlyList<ModuleEvent> events, int seed)
    {
        var shuffled = events.ToArray();
        new Random(seed).Shuffle(shuffled);
        return [.. shuffled];
    }

    /// <summary>Posts in batches, and counts the events that were new.</summary>
    private static async Task<(int Posted, string Revision)> PostAsync(ServiceClients clients, IReadOnlyList<ModuleEvent> events)
    {
        var (posted, revision) = (0, string.Empty);
        foreach (var batch in events.Chunk(BatchSize))
        {
            var request = new RecordEventsRequest();
            request.Events.AddRange(batch);
            var response = await clients.History.RecordEventsAsync(
                request, cancellationToken: TestContext.Current.CancellationToken);
            Assert.All(response.Results, result => Assert.True(result.Receipt is not null, result.ToString()));
            posted += response.Results.Count(result => !result.Receipt.Duplicate);
            revision = response.Results.LastOrDefault(result => !result.Receipt.Duplicate)?.Receipt.Revision ?? revision;
        }

        return (posted, revision);
    }

    /// <summary>All lives without what tells of the log: the revision.</summary>
    private static async Task<IReadOnlyList<Life>> LivesAsync(ServiceClients clients, IEnumerable<string> revisions)
    {
        var lives = new List<Life>();
        foreach (var revision in revisions.Where(revision => revision.Length > 0))
        {
            await clients.History.ListLivesAsync(
                new ListLivesRequest { PageSize = 1, MinimumRevision = revision },
                cancellationToken: TestContext.Current.CancellationToken);
        }

        var request = new ListLivesRequest { PageSize = 1000 };
        do
        {
            var page = await clients.History.ListLivesAsync(request, cancellationToken: TestContext.Current.CancellationToken);
            lives.AddRange(page.Lives.Select(life => new Life(life) { Revision = string.Empty }));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        return lives;
    }
}
