using System.Threading.Channels;
using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

/// <summary>How much waits is bounded by how much it is, not by how many posts it comes in.</summary>
public sealed class PostQueueTests
{
    private static readonly int[] Weights = [6, 4, 1, 3];

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Posts_wait_at_the_door_in_their_order_while_too_much_waits_inside()
    {
        using var queue = new PostQueue(new() { WaitingEvents = 10, CommitWindowEvents = 1 }, writers: 1);
        var added = Weights.Select(weight => (Weight: weight, Added: queue.AddAsync(Of(weight), Cancellation).AsTask())).ToList();
        Assert.Equal([true, true, false, false], added.Select(each => each.Added.IsCompleted));

        var taken = new List<int>();
        foreach (var (_, entered) in added)
        {
            taken.Add(Assert.Single((await queue.TakeAsync(0))!).Weight);
            queue.Done(0);
            await entered;
        }

        Assert.Equal(Weights, taken);
    }

    [Fact]
    public async Task A_post_heavier_than_all_that_may_wait_is_let_in_alone()
    {
        using var queue = new PostQueue(new() { WaitingEvents = 10, CommitWindowEvents = 1 }, writers: 1);
        await queue.AddAsync(Of(1), Cancellation);
        var heavy = queue.AddAsync(Of(50), Cancellation).AsTask();
        var behind = queue.AddAsync(Of(1), Cancellation).AsTask();
        Assert.False(heavy.IsCompleted);

        Assert.Equal(1, (await queue.TakeAsync(0))![0].Weight);
        queue.Done(0);
        await heavy;
        Assert.False(behind.IsCompleted);
        Assert.Equal(50, (await queue.TakeAsync(0))![0].Weight);
        await behind;
    }

    [Fact]
    public async Task Who_goes_away_at_the_door_holds_up_nobody_and_a_closed_queue_lets_nobody_in()
    {
        using var queue = new PostQueue(new() { WaitingEvents = 10, CommitWindowEvents = 1 }, writers: 1);
        await queue.AddAsync(Of(10), Cancellation);
        using var away = new CancellationTokenSource();
        var gone = queue.AddAsync(Of(1), away.Token).AsTask();
        var late = queue.AddAsync(Of(1), Cancellation).AsTask();

        await away.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => gone);
        queue.Close();
        Assert.Equal(10, (await queue.TakeAsync(0))![0].Weight);
        queue.Done(0);

        await Assert.ThrowsAsync<ChannelClosedException>(() => late);
        Assert.Null(await queue.TakeAsync(0));
    }

    private static Post Of(int readings) => new(
        ReliabilityStore.DefaultOrganisation,
        [
            PostedEvent.Of(Scenario.Event("m-1", $"of-{readings}", 1, new RunHoursReadV1
            {
                Readings = [.. Enumerable.Range(0, readings).Select(n => MeterReading.AtInstant(Scenario.Start.AddDays(n), n))],
            })),
        ],
        CancellationToken.None);
}
