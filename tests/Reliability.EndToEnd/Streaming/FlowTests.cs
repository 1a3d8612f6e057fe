using System.Diagnostics;
using Google.Rpc;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Streaming;

/// <summary>A stream is bounded in both directions, and ends in order when the service does.</summary>
public sealed class FlowTests(ITestOutputHelper output)
{
    private const long MebiByte = 1024 * 1024;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_caller_that_does_not_read_is_not_read_and_the_service_does_not_grow()
    {
        const int Unbounded = 100_000;
        await using var own = new OwnService();
        var service = await own.StartAsync();
        using var clients = new ServiceClients(service);
        // What runs for the first time takes memory of its own.
        await PostAsync(clients, Readings.Of("flow-warm", 20_000));
        var before = service.WorkingSet;

        using var stream = new RawStream(clients);
        var sent = 0;
        var sending = Task.Run(
            async () =>
            {
                foreach (var message in Readings.Of("flow-slow", Unbounded).Chunk(100))
                {
                    await stream.SendAsync(message);
                    Interlocked.Add(ref sent, message.Length);
                }

                await stream.EndAsync();
            },
            Cancellation);
        var held = await StillAsync(() => Volatile.Read(ref sent), TimeSpan.FromSeconds(8));
        var grown = service.WorkingSet - before;

        output.WriteLine($"{held} events went out unanswered; the service grew by {grown / MebiByte} MiB.");
        Assert.False(sending.IsCompleted);
        Assert.InRange(held, 1_000, 60_000);
        Assert.InRange(grown, long.MinValue, 100 * MebiByte);
        Assert.Equal(0, (await clients.History.RecordEventsAsync(
            new RecordEventsRequest { Events = { Readings.One("flow-other", 0) } }, cancellationToken: Cancellation)).Results.Count(result => result.Error is not null));

        var (results, end) = await stream.TakeAllAsync();
        await sending;
        Assert.Null(end);
        Assert.Equal(Unbounded, results.Count);
        Assert.All(results, result => Assert.NotNull(result.Receipt));
    }

    [Fact]
    public async Task Many_streams_that_send_nothing_hold_up_nobody()
    {
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync());
        var idle = Enumerable.Range(0, 90).Select(_ => new RawStream(clients)).ToList();
        try
        {
            foreach (var stream in idle)
            {
                await stream.SendAsync(Readings.One("flow-idle", 0));
                await stream.TakeAsync(1);
            }

            await PostAsync(clients, Readings.Of("flow-busy", 5_000));
        }
        finally
        {
            idle.ForEach(stream => stream.Dispose());
        }
    }

    [Fact]
    public async Task A_service_that_stops_answers_what_it_took_and_says_that_it_stops()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync();
        List<RecordEventResult> results;
        RpcException? end;
        using (var clients = new ServiceClients(service))
        using (var others = new ServiceClients(service))
        using (var stream = new RawStream(clients))
        using (var idle = new RawStream(others))
        {
            await idle.SendAsync(Readings.One("flow-stop-idle", 0));
            await idle.TakeAsync(1);
            var idleEnd = idle.TakeAllAsync();
            var all = stream.TakeAllAsync();
            var sending = Task.Run(async () =>
            {
                foreach (var message in Readings.Of("flow-stop", 1_000_000).Chunk(50))
                    await stream.SendAsync(message);
            }, TestContext.Current.CancellationToken);
            await Task.Delay(1_000, Cancellation);
            var stopping = Stopwatch.GetTimestamp();
            var exitCode = await service.StopAsync();
            output.WriteLine($"Stopped within {Stopwatch.GetElapsedTime(stopping).TotalSeconds:F1} s.");
            Assert.Equal(0, exitCode);
            (results, end) = await all;
            Assert.NotNull(await Record.ExceptionAsync(() => sending));
            AssertStopping((await idleEnd).End);
        }

        // A socket that is closed while the caller still sends is reset, and what was on its way to the caller may be lost.
        Assert.NotEmpty(results);
        Assert.Contains(end?.StatusCode, (StatusCode?[])[StatusCode.Unavailable, StatusCode.Internal]);
        using var again = new ServiceClients(await own.StartAgainAsync(service));
        var reposted = await PostAsync(again, Readings.Of("flow-stop", results.Count));
        Assert.All(reposted.Zip(results), pair => Assert.Equal((pair.Second.Receipt.Revision, true), (pair.First.Receipt.Revision, pair.First.Receipt.Duplicate)));
    }

    private static void AssertStopping(RpcException? end)
    {
        Assert.True(end?.StatusCode == StatusCode.Unavailable, end?.ToString());
        var status = StatusDetails.Of(end!);
        Assert.Equal("SERVICE_STOPPING", StatusDetails.Reason(status));
        Assert.NotNull(status.GetDetail<RetryInfo>());
    }

    private static async Task<List<RecordEventResult>> PostAsync(ServiceClients clients, IEnumerable<ModuleEvent> events)
    {
        using var stream = new RawStream(clients);
        var all = stream.TakeAllAsync();
        foreach (var message in events.Chunk(500))
            await stream.SendAsync(message);
        await stream.EndAsync();
        var (results, end) = await all;
        Assert.Null(end);
        return results;
    }

    // The count once it has not changed for a while.
    private static async Task<int> StillAsync(Func<int> count, TimeSpan still)
    {
        var last = -1;
        while (count() is var now && now != last)
        {
            last = now;
            await Task.Delay(still, Cancellation);
        }

        return last;
    }
}
