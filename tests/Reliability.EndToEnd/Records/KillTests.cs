using System.Collections.Concurrent;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Records;

/// <summary>kill -9 of the service with events in flight: after a restart and a repost every event is there once.</summary>
public sealed class KillTests
{
    private const int Modules = 40, EventsOfModule = 500, BatchSize = 100, Posters = 4, ReceiptsBeforeTheKill = 4_000;

    [Fact]
    public async Task Nothing_with_a_receipt_is_lost_and_a_repost_doubles_nothing()
    {
        var batches = Events().Chunk(BatchSize).ToList();
        await using var own = new OwnService();
        var (receipts, inFlight) = await PostUntilKilledAsync(await own.StartAsync(), batches);
        Assert.True(inFlight > 0, "No event was in flight at the kill.");
        TestContext.Current.SendDiagnosticMessage("Receipts before the kill: {0}; events in flight: {1}.", receipts.Count, inFlight);

        using var clients = new ServiceClients(await own.StartAsync());
        foreach (var batch in batches)
        {
            foreach (var result in await PostAsync(clients, batch))
            {
                Assert.NotNull(result.Receipt);
                if (receipts.Contains(result.EventId))
                    Assert.True(result.Receipt.Duplicate, $"{result.EventId} had a receipt and was lost.");
            }
        }

        for (var module = 0; module < Modules; module++)
        {
            var ids = await RecordedAsync(clients, $"modules/kill-{module}");
            Assert.Equal(EventsOfModule, ids.Count);
            Assert.Equal(EventsOfModule, ids.Distinct().Count());
        }
    }

    private static IEnumerable<ModuleEvent> Events() =>
        from reading in Enumerable.Range(0, EventsOfModule)
        from module in Enumerable.Range(0, Modules)
        select new ModuleEvent
        {
            EventId = $"{module}-{reading}",
            Source = "kill",
            Module = $"modules/kill-{module}",
            OccurTime = new() { Seconds = 1_700_000_000 + (reading * 3600L) },
            RunHoursRead = new() { Readings = { new MeterReading { Hours = reading } } },
        };

    /// <summary>The ids of events with a receipt, and how many events were sent without an answer.</summary>
    private static async Task<(HashSet<string> Receipts, int InFlight)> PostUntilKilledAsync(
        ServiceProcess service, IReadOnlyList<ModuleEvent[]> batches)
    {
        var (waiting, receipts) = (new ConcurrentQueue<ModuleEvent[]>(batches), new ConcurrentBag<string>());
        var unanswered = 0;
        using var clients = new ServiceClients(service);
        var posters = Enumerable.Range(0, Posters).Select(_ => Task.Run(async () =>
        {
            while (waiting.TryDequeue(out var batch))
            {
                try
                {
                    foreach (var result in await PostAsync(clients, batch))
                        receipts.Add(result.EventId);
                }
                catch (RpcException exception) when (exception.StatusCode is StatusCode.Unavailable or StatusCode.Internal)
                {
                    Interlocked.Add(ref unanswered, batch.Length);
                    return;
                }
            }
        })).ToArray();
        while (receipts.Count < ReceiptsBeforeTheKill)
            await Task.Delay(1, TestContext.Current.CancellationToken);
        await service.KillAsync();
        await Task.WhenAll(posters);
        Assert.NotEmpty(waiting);
        return (receipts.ToHashSet(), unanswered);
    }

    private static async Task<IReadOnlyList<RecordEventResult>> PostAsync(ServiceClients clients, ModuleEvent[] batch)
    {
        var request = new RecordEventsRequest();
        request.Events.AddRange(batch);
        var response = await clients.History.RecordEventsAsync(request, cancellationToken: TestContext.Current.CancellationToken);
        return response.Results;
    }

    private static async Task<IReadOnlyList<string>> RecordedAsync(ServiceClients clients, string module)
    {
        var ids = new List<string>();
        var request = new ListModuleEventsRequest { Parent = module, PageSize = 1000 };
        do
        {
            var page = await clients.History.ListModuleEventsAsync(request, cancellationToken: TestContext.Current.CancellationToken);
            ids.AddRange(page.Events.Select(recorded => recorded.Event.EventId));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        return ids;
    }
}
