using System.Diagnostics;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Reliability.Contracts.Streaming;
using Reliability.EndToEnd.Faults;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Streaming;

/// <summary>The client of streams goes on after a break, and gives up in good time where it cannot.</summary>
public sealed class ResumeTests(SharedService shared, ITestOutputHelper output)
{
    private const int Events = 20_000;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task After_kills_of_the_service_every_event_is_answered_in_order_and_recorded_once()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync();
        using var clients = new ServiceClients(service);
        var posted = Readings.Of("resume-kill", Events).ToArray();
        List<string> answered = [];
        var duplicates = 0;
        Task again = Task.CompletedTask;
        await foreach (var (item, result) in new EventStreamClient(clients.History).PostAsync(posted.ToAsyncEnumerable(), Cancellation))
        {
            Assert.True(result.Receipt is not null && result.EventId == item.EventId, result.ToString());
            answered.Add(item.EventId);
            duplicates += result.Receipt.Duplicate ? 1 : 0;
            if (answered.Count is 3_000 or 11_000)
            {
                await again;
                await service.KillAsync();
                again = Task.Run(async () => service = await own.StartAgainAsync(service), Cancellation);
            }
        }

        await again;
        output.WriteLine($"{duplicates} events were on record when they were sent again.");
        Assert.Equal(posted.Select(one => one.EventId), answered);
        Assert.Equal(
            posted.Select(one => one.EventId).Order(StringComparer.Ordinal), await Loading.RecordedIdsAsync(clients));
    }

    [Fact]
    public async Task A_service_that_was_killed_for_good_does_not_hang_the_client()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync();
        using var clients = new ServiceClients(service);
        // Fewer answers may be missing than the service takes in at a time, so that the sender waits for room at the kill.
        var client = new EventStreamClient(
            clients.History, new() { UnansweredEvents = 500, GiveUpAfter = TimeSpan.FromSeconds(2) });
        var answered = 0;
        long killed = 0;

        var end = await Assert.ThrowsAsync<RpcException>(async () =>
        {
            await foreach (var _ in client.PostAsync(Endless("resume-dead").ToAsyncEnumerable(), Cancellation))
            {
                if (++answered != 2_000)
                    continue;
                await service.KillAsync();
                killed = Stopwatch.GetTimestamp();
            }
        });

        Assert.Equal(StatusCode.Unavailable, end.StatusCode);
        Assert.InRange(Stopwatch.GetElapsedTime(killed), TimeSpan.Zero, TimeSpan.FromMinutes(3));
    }

    [Fact]
    public async Task Cancelled_in_the_middle_and_posted_again_every_event_is_there_once_and_receipts_hold()
    {
        const string Source = "resume-cancel";
        var posted = Readings.Of(Source, Events).ToArray();
        var client = new EventStreamClient(shared.Clients.History);
        var before = new Dictionary<string, Receipt>();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        await Assert.ThrowsAnyAsync<OperationCanceledException>(async () =>
        {
            await foreach (var (item, result) in client.PostAsync(posted.ToAsyncEnumerable(), stop.Token))
            {
                before.Add(item.EventId, result.Receipt);
                if (before.Count == 5_000)
                    await stop.CancelAsync();
            }
        });

        var unanswered = 0;
        await foreach (var (item, result) in client.PostAsync(posted.ToAsyncEnumerable(), Cancellation))
        {
            if (before.TryGetValue(item.EventId, out var receipt))
                Assert.Equal((receipt.Revision, true), (result.Receipt.Revision, result.Receipt.Duplicate));
            else if (result.Receipt.Duplicate)
                unanswered++;
        }

        output.WriteLine($"{before.Count} answered before, {unanswered} recorded without an answer.");
        var record = await shared.Clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = $"modules/{Source}-4", PageSize = 1_000 }, cancellationToken: Cancellation);
        Assert.Equal(1_000, record.Events.Select(recorded => recorded.Event.EventId).Distinct().Count());
    }

    [Fact]
    public async Task Room_that_is_given_while_the_stream_breaks_is_not_lost()
    {
        // Room for one event: the first is answered while its sender, on its way to the second, still waits for it to go out.
        var answer = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var streams = new BreakingStreams(answer.Task);
        var client = new EventStreamClient(
            new(shared.Clients.Channel.Intercept(streams)), new() { UnansweredEvents = 1 });
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        limit.CancelAfter(TimeSpan.FromMinutes(5));
        List<string> answered = [];
        await foreach (var (item, result) in client.PostAsync(Readings.Of("resume-room", 3).ToAsyncEnumerable(), limit.Token))
        {
            Assert.NotNull(result.Receipt);
            answered.Add(item.EventId);
            answer.TrySetResult();
        }

        Assert.Equal(["r0", "r1", "r2"], answered);
        Assert.Equal(2, streams.Opened);
    }

    [Fact]
    public async Task A_service_that_is_not_there_at_first_is_told_at_once()
    {
        using var clients = new ServiceClients(new Uri($"http://127.0.0.1:{FreePorts.Take().Grpc}"), shared.Service.HttpAddress);
        var client = new EventStreamClient(clients.History);

        var end = await Assert.ThrowsAsync<RpcException>(
            async () => await client.PostAsync(Endless("resume-none").ToAsyncEnumerable(), Cancellation).CountAsync(Cancellation));

        Assert.Equal(StatusCode.Unavailable, end.StatusCode);
    }

    [Fact]
    public async Task Where_the_events_fail_those_before_are_answered()
    {
        var answered = 0;
        var failure = await Assert.ThrowsAsync<InvalidDataException>(async () =>
        {
            await foreach (var _ in new EventStreamClient(shared.Clients.History).PostAsync(FailingAfter(250), Cancellation))
                answered++;
        });

        Assert.Equal("the file ends here", failure.Message);
        Assert.Equal(250, answered);
    }

    [Fact]
    public async Task Events_that_come_one_by_one_are_answered_one_by_one()
    {
        // The next event is given when the one before is answered: nothing may wait for a message to fill.
        using var answered = new SemaphoreSlim(1);
        var count = 0;
        await foreach (var _ in new EventStreamClient(shared.Clients.History).PostAsync(OneByOne(), Cancellation))
        {
            count++;
            answered.Release();
        }

        Assert.Equal(5, count);

        async IAsyncEnumerable<ModuleEvent> OneByOne()
        {
            for (var i = 0; i < 5; i++)
            {
                await answered.WaitAsync(Cancellation);
                yield return Readings.One("resume-trickle", i);
            }
        }
    }

    private static IEnumerable<ModuleEvent> Endless(string source) =>
        Enumerable.Range(0, int.MaxValue).Select(i => Readings.One(source, i));

    private static async IAsyncEnumerable<ModuleEvent> FailingAfter(int count)
    {
        foreach (var posted in Readings.Of("resume-failing", count))
            yield return posted;
        await Task.Yield();
        throw new InvalidDataException("the file ends here");
    }
}
