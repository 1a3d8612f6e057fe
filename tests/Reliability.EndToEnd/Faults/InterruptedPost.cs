using System.Collections.Concurrent;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>A post by several clients that goes on after each kill of the service, with all receipts kept.</summary>
internal sealed class InterruptedPost(IEnumerable<ModuleEvent[]> batches)
{
    private const int Posters = 4;

    private readonly ConcurrentQueue<ModuleEvent[]> _waiting = new(batches);
    private readonly ConcurrentDictionary<ModuleEvent[], bool> _sent = [];
    private readonly ConcurrentDictionary<string, Receipt> _receipts = [];

    /// <summary>Receipts so far, by event id.</summary>
    public IReadOnlyDictionary<string, Receipt> Receipts => _receipts;

    /// <summary>Kills the service once so many further receipts have come and then a while has passed.</summary>
    /// <returns>How many events were in flight: on their way before the kill, and never answered.</returns>
    public async Task<int> GoOnUntilKilledAsync(ServiceProcess service, int furtherReceipts, TimeSpan thenAfter)
    {
        var enough = _receipts.Count + furtherReceipts;
        using var clients = new ServiceClients(service);
        var unanswered = new ConcurrentBag<ModuleEvent[]>();
        var posters = Enumerable.Range(0, Posters).Select(_ => Task.Run(() => PostAsync(clients, unanswered))).ToArray();
        while (_receipts.Count < enough)
        {
            Assert.DoesNotContain(posters, poster => poster.IsCompleted);
            await Task.Delay(1, TestContext.Current.CancellationToken);
        }

        await Task.Delay(thenAfter, TestContext.Current.CancellationToken);
        var onTheirWay = _sent.Keys.ToHashSet();
        await Task.Delay(1, TestContext.Current.CancellationToken);
        Assert.DoesNotContain(posters, poster => poster.IsCompleted);
        await service.KillAsync();
        await Task.WhenAll(posters);
        foreach (var batch in unanswered)
            _waiting.Enqueue(batch);
        return unanswered.Where(onTheirWay.Contains).Sum(batch => batch.Length);
    }

    private async Task PostAsync(ServiceClients clients, ConcurrentBag<ModuleEvent[]> unanswered)
    {
        while (_waiting.TryDequeue(out var batch))
        {
            _sent[batch] = true;
            try
            {
                var receipts = await Loading.PostAsync(clients, batch);
                foreach (var (posted, receipt) in batch.Zip(receipts))
                    Assert.True(_receipts.TryAdd(posted.EventId, receipt));
            }
            catch (RpcException exception) when (exception.StatusCode is StatusCode.Unavailable or StatusCode.Internal)
            {
                unanswered.Add(batch);
                return;
            }
            finally
            {
                _sent.TryRemove(batch, out _);
            }
        }
    }
}
