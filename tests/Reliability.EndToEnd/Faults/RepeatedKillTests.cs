using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>kill -9 of the service, again and again in the middle of a post of the demo data.</summary>
[Collection(typeof(AgainstCleanLoad))]
public sealed class RepeatedKillTests(CleanLoad clean, ITestOutputHelper output)
{
    private const int Kills = 3, Seed = 41, BatchSize = 40, RepostBatchSize = 500;

    [Fact]
    public async Task Every_event_is_there_once_every_receipt_holds_and_the_lives_are_those_of_a_clean_load()
    {
        var random = new Random(Seed);
        var shuffled = clean.Events.ToArray();
        random.Shuffle(shuffled);
        var post = new InterruptedPost(shuffled.Chunk(BatchSize));
        await using var own = new OwnService();
        for (var kill = 1; kill <= Kills; kill++)
        {
            var service = await own.StartAsync();
            if (kill == 1)
            {
                using var first = new ServiceClients(service);
                await Loading.AddModelsAsync(first);
            }

            var inFlight = await post.GoOnUntilKilledAsync(
                service, random.Next(400, 1500), TimeSpan.FromMilliseconds(random.Next(30)));
            output.WriteLine($"Kill {kill}: {post.Receipts.Count} receipts so far, {inFlight} events in flight.");
            Assert.True(inFlight > 0, $"No event was in flight at kill {kill}.");
        }

        using var clients = new ServiceClients(await own.StartAsync());
        var receipts = await Loading.PostAllAsync(clients, clean.Events, RepostBatchSize);

        var recordedUnanswered = 0;
        foreach (var (posted, receipt) in clean.Events.Zip(receipts))
        {
            if (post.Receipts.TryGetValue(posted.EventId, out var before))
            {
                Assert.True(receipt.Duplicate, $"{posted.EventId} had a receipt and was lost.");
                Assert.Equal(before.Revision, receipt.Revision);
            }
            else if (receipt.Duplicate)
            {
                recordedUnanswered++;
            }
        }

        output.WriteLine(
            $"Found recorded without a receipt: {recordedUnanswered} by the last repost, "
            + $"{post.Receipts.Values.Count(receipt => receipt.Duplicate)} on the way.");
        clean.AssertSame(await Loading.LivesAsync(clients, receipts));
        Assert.Equal(
            clean.Events.Select(posted => posted.EventId).Order(StringComparer.Ordinal),
            await Loading.RecordedIdsAsync(clients));
    }
}
