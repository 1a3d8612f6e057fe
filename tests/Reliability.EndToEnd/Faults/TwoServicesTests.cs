using System.Diagnostics;
using Reliability.EndToEnd.Faults.Victims;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>
/// One file streamed twice, in two orders and cut into different messages, by two clients at once through two services on one
/// PostgreSQL.
/// </summary>
public sealed class TwoServicesTests(CleanLoad clean, ITestOutputHelper output)
{
    private const int SmallMessages = 20, LargeMessages = 700, HeldBack = 100;

    [Theory]
    [InlineData(true, 5)]
    [InlineData(false, 6)]
    public async Task The_lives_are_those_of_one_post_in_order(bool catalogueFirst, int seed)
    {
        var random = new Random(seed);
        await using var own = new OwnService();
        using var one = new ServiceClients(await own.StartAsync());
        using var other = new ServiceClients(await own.StartBesideAsync());
        var events = Shuffled(clean.Events, random);
        if (catalogueFirst)
            await Loading.AddModelsAsync(one);
        var earlier = await PostByBothAsync(one, other, events[HeldBack..], random);

        // The catalogue has no receipt to wait for; the revision of an event recorded after it holds it too.
        if (!catalogueFirst)
            await Loading.AddModelsAsync(other);
        var last = await PostByBothAsync(one, other, events[..HeldBack], random);

        await clean.AssertSameAsync(await Loading.LivesAsync(one, [.. earlier, .. last]));
        await clean.AssertSameAsync(await Loading.LivesAsync(other, [.. earlier, .. last]));
        Assert.Equal(
            clean.Events.Select(posted => posted.EventId).Order(StringComparer.Ordinal),
            await Loading.RecordedIdsAsync(other));
    }

    /// <summary>The receipts of both. Each event is taken as new once, by one service or the other.</summary>
    private async Task<IReadOnlyList<Receipt>> PostByBothAsync(
        ServiceClients one, ServiceClients other, ModuleEvent[] events, Random random)
    {
        var (here, there) = (Shuffled(events, random), Shuffled(events, random));
        var receipts = await Task.WhenAll(
            Loading.StreamAllAsync(one, here, SmallMessages, new Random(random.Next())),
            Loading.StreamAllAsync(other, there, LargeMessages, new Random(random.Next())));
        var seen = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var (posted, receipt) in here.Zip(receipts[0]).Concat(there.Zip(receipts[1])))
            Assert.Equal(seen.TryAdd(posted.EventId, receipt.Revision) ? receipt.Revision : seen[posted.EventId], receipt.Revision);
        var taken = here.Zip(receipts[0]).Concat(there.Zip(receipts[1]))
            .Where(posted => !posted.Second.Duplicate).Select(posted => posted.First.EventId).ToList();
        output.WriteLine(
            $"Of {events.Length} events the first service took {receipts[0].Count(receipt => !receipt.Duplicate)} as new, "
            + $"the second {receipts[1].Count(receipt => !receipt.Duplicate)}.");
        Assert.Equal(
            events.Select(posted => posted.EventId).Order(StringComparer.Ordinal), taken.Order(StringComparer.Ordinal));
        return [.. receipts[0], .. receipts[1]];
    }

    [Fact]
    public async Task When_the_service_that_derives_lives_is_killed_the_other_takes_over()
    {
        await using var server = await OwnPostgres.StartAsync();
        var setting = "--ConnectionStrings:Reliability=" + server.ConnectionString;
        await using var first = new ServiceSlot(setting);
        await first.StartAsync();
        using (var clients = first.Clients())
            await Loading.AddModelsAsync(clients);
        var events = new Queue<ModuleEvent[]>(FleetReadings.Read().Take(3_000).Chunk(1_000));
        await using var second = new ServiceSlot(setting);
        await second.StartAsync();
        await PostAsync(first);

        // The one that was alone before surely derives lives, and the one that was started beside it stands by.
        await TakeOverAsync(first, second);
        await first.StartAsync();
        await TakeOverAsync(second, first);

        async Task TakeOverAsync(ServiceSlot killed, ServiceSlot other)
        {
            await killed.KillAsync();
            var time = Stopwatch.StartNew();
            await PostAsync(other);
            output.WriteLine($"Lives took in what was posted {time.Elapsed.TotalSeconds:0.0} s after the kill.");
        }

        async Task PostAsync(ServiceSlot service)
        {
            using var clients = service.Clients();
            await Loading.LivesAsync(clients, await Loading.PostAsync(clients, events.Dequeue()));
        }
    }

    private static ModuleEvent[] Shuffled(IEnumerable<ModuleEvent> events, Random random)
    {
        var shuffled = events.ToArray();
        random.Shuffle(shuffled);
        return shuffled;
    }
}
