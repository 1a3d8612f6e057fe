using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>Loads events into a service, and reads back all that became of them.</summary>
internal static class Loading
{
    private const int LargestPage = 1000;

    public static async Task AddModelsAsync(ServiceClients clients)
    {
        foreach (var request in DemoEvents.ReadModels())
            await clients.Catalogue.CreateModuleModelAsync(request, cancellationToken: TestContext.Current.CancellationToken);
    }

    /// <summary>Posts one call, and expects a receipt for each event; the receipts are in the order of the events.</summary>
    /// <exception cref="Grpc.Core.RpcException">The call got no answer.</exception>
    public static async Task<IReadOnlyList<Receipt>> PostAsync(ServiceClients clients, ModuleEvent[] batch)
    {
        var request = new RecordEventsRequest();
        request.Events.AddRange(batch);
        var response = await clients.History.RecordEventsAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(batch.Select(posted => posted.EventId), response.Results.Select(result => result.EventId));
        Assert.All(response.Results, result => Assert.True(result.Receipt is not null, result.ToString()));
        return [.. response.Results.Select(result => result.Receipt)];
    }

    /// <summary>Posts all, one call after the other; the receipts are in the order of the events.</summary>
    public static async Task<IReadOnlyList<Receipt>> PostAllAsync(
        ServiceClients clients, IEnumerable<ModuleEvent> events, int batchSize)
    {
        var receipts = new List<Receipt>();
        foreach (var batch in events.Chunk(batchSize))
            receipts.AddRange(await PostAsync(clients, batch));
        return receipts;
    }

    /// <summary>Streams all, cut into messages at random; the receipts are in the order of the events.</summary>
    public static async Task<IReadOnlyList<Receipt>> StreamAllAsync(
        ServiceClients clients, IReadOnlyList<ModuleEvent> events, int largestMessage, Random random)
    {
        using var call = clients.History.StreamEvents(cancellationToken: TestContext.Current.CancellationToken);
        var sending = Task.Run(async () =>
        {
            for (var sent = 0; sent < events.Count;)
            {
                var message = new StreamEventsRequest { Events = { events.Skip(sent).Take(random.Next(1, largestMessage + 1)) } };
                await call.RequestStream.WriteAsync(message);
                sent += message.Events.Count;
            }

            await call.RequestStream.CompleteAsync();
        });
        var receipts = new List<Receipt>(events.Count);
        await foreach (var response in call.ResponseStream.ReadAllAsync(TestContext.Current.CancellationToken))
        {
            foreach (var result in response.Results)
            {
                Assert.Equal(events[receipts.Count].EventId, result.EventId);
                Assert.True(result.Receipt is not null, result.ToString());
                receipts.Add(result.Receipt);
            }
        }

        await sending;
        Assert.Equal(events.Count, receipts.Count);
        return receipts;
    }

    /// <summary>All lives once the receipts' revisions are taken in, without what tells of the log: the revision.</summary>
    public static async Task<IReadOnlyList<Life>> LivesAsync(ServiceClients clients, IEnumerable<Receipt> receipts)
    {
        foreach (var revision in receipts.Select(receipt => receipt.Revision).Distinct())
        {
            await clients.History.ListLivesAsync(
                new ListLivesRequest { PageSize = 1, MinimumRevision = revision },
                cancellationToken: TestContext.Current.CancellationToken);
        }

        var lives = new List<Life>();
        var request = new ListLivesRequest { PageSize = LargestPage };
        do
        {
            var page = await clients.History.ListLivesAsync(
                request, cancellationToken: TestContext.Current.CancellationToken);
            lives.AddRange(page.Lives.Select(life => new Life(life) { Revision = string.Empty }));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        return lives;
    }

    /// <summary>Ids of the events in the records of all modules, in order, each as often as it is there.</summary>
    public static async Task<IReadOnlyList<string>> RecordedIdsAsync(ServiceClients clients)
    {
        var ids = new List<string>();
        var request = new ListModulesRequest { PageSize = LargestPage, ShowRetired = true };
        do
        {
            var page = await clients.History.ListModulesAsync(
                request, cancellationToken: TestContext.Current.CancellationToken);
            foreach (var module in page.Modules)
                ids.AddRange(await RecordedIdsAsync(clients, module.Name));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        return [.. ids.Order(StringComparer.Ordinal)];
    }

    private static async Task<IReadOnlyList<string>> RecordedIdsAsync(ServiceClients clients, string module)
    {
        var ids = new List<string>();
        var request = new ListModuleEventsRequest { Parent = module, PageSize = LargestPage };
        do
        {
            var page = await clients.History.ListModuleEventsAsync(
                request, cancellationToken: TestContext.Current.CancellationToken);
            ids.AddRange(page.Events.Select(recorded => recorded.Event.EventId));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        return ids;
    }
}
