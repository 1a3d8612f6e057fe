using Grpc.Core;
using Reliability.EndToEnd.Faults;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Streaming;

/// <summary>StreamEvents over a real socket: what is answered, in which order, and how a stream ends.</summary>
public sealed class StreamTests(SharedService shared)
{
    private const string ResultOrder = "Answers must come in the order in which the events were sent.";

    private ServiceClients Clients => shared.Clients;

    [Fact]
    public async Task Answers_come_in_order_and_the_stream_ends_when_all_is_answered()
    {
        const int Events = 5_000;
        using var stream = new RawStream(Clients);
        var all = stream.TakeAllAsync();
        foreach (var message in Readings.Of("stream-order", Events).Chunk(37))
            await stream.SendAsync(message);
        await stream.EndAsync();

        var (results, end) = await all;

        Assert.Null(end);
        Assert.True(results.Select(result => result.EventId).SequenceEqual(Enumerable.Range(0, Events).Select(i => $"r{i}")), ResultOrder);
        Assert.All(results, result => Assert.True(result.Receipt is { Duplicate: false, Revision.Length: > 0 }, result.ToString()));
        Assert.Equal(Events / 10, (await RecordAsync("stream-order-3")).Count);
    }

    [Fact]
    public async Task A_lone_event_is_answered_while_the_stream_stays_open()
    {
        using var stream = new RawStream(Clients);
        for (var i = 0; i < 3; i++)
        {
            await stream.SendAsync(Readings.One("stream-lone", i));
            var result = Assert.Single(await stream.TakeAsync(1));
            Assert.Equal(($"r{i}", false), (result.EventId, result.Receipt.Duplicate));
            Assert.Equal("MODULE_NOT_REGISTERED", result.Receipt.UnresolvedReason);
        }
    }

    [Fact]
    public async Task A_receipt_means_that_the_event_is_on_record()
    {
        using var stream = new RawStream(Clients);
        await stream.SendAsync(Readings.One("stream-durable", 7));
        await stream.TakeAsync(1);

        Assert.Equal(["r7"], (await RecordAsync("stream-durable-7")).Select(recorded => recorded.Event.EventId));
    }

    [Fact]
    public async Task An_event_that_was_recorded_by_a_call_is_a_duplicate_in_a_stream_with_the_same_receipt()
    {
        var posted = Readings.One("stream-both", 0);
        var first = Assert.Single(await Loading.PostAsync(Clients, [posted]));

        using var stream = new RawStream(Clients);
        await stream.SendAsync(posted, posted);
        var again = await stream.TakeAsync(2);

        Assert.All(again, result => Assert.Equal((first.Revision, true), (result.Receipt.Revision, result.Receipt.Duplicate)));
    }

    [Fact]
    public async Task Bad_events_are_refused_in_their_places_and_hold_up_nothing()
    {
        var events = Readings.Of("stream-bad", 6).ToArray();
        events[1].RunHoursRead.Readings[0].Hours = -1;
        events[4].Module = "";
        var other = Readings.One("stream-bad", 0);
        other.RunHoursRead.Readings[0].Hours = 99;
        using var stream = new RawStream(Clients);
        await stream.SendAsync(events[..3]);
        await stream.SendAsync(events[3..]);
        await stream.SendAsync(other, Readings.One("stream-bad", 6));
        await stream.EndAsync();

        var (results, end) = await stream.TakeAllAsync();

        Assert.Null(end);
        Assert.Equal(["r0", "r1", "r2", "r3", "r4", "r5", "r0", "r6"], results.Select(result => result.EventId));
        Assert.Equal([1, 4, 6], Enumerable.Range(0, 8).Where(i => results[i].Error is not null));
        Assert.Equal(["events[1].run_hours_read.readings[0].hours"], StatusDetails.Fields(results[1].Error));
        Assert.Equal(["events[1].module"], StatusDetails.Fields(results[4].Error));
        Assert.Equal("EVENT_ID_REUSED", StatusDetails.Reason(results[6].Error));
        Assert.Equal(["events[0].event_id"], StatusDetails.Fields(results[6].Error));
    }

    [Theory]
    [InlineData(0, StatusCode.InvalidArgument, "INVALID_FIELDS")]
    [InlineData(1_001, StatusCode.ResourceExhausted, "LIMIT_EXCEEDED")]
    public async Task A_message_of_a_wrong_length_ends_the_stream_after_all_earlier_answers(
        int length, StatusCode code, string reason)
    {
        var source = $"stream-length-{length}";
        using var stream = new RawStream(Clients);
        await stream.SendAsync(Readings.Of(source, 1_000));
        await stream.SendAsync(Readings.Of(source, 1, first: 1_000));
        await stream.SendAsync(Readings.Of(source, length, first: 2_000));

        var (results, end) = await stream.TakeAllAsync();

        Assert.True(results.Select(result => result.EventId).SequenceEqual(Enumerable.Range(0, 1_001).Select(i => $"r{i}")), ResultOrder);
        Assert.All(results, result => Assert.NotNull(result.Receipt));
        Assert.Equal(code, end?.StatusCode);
        var status = StatusDetails.Of(end!);
        Assert.Equal(reason, StatusDetails.Reason(status));
        Assert.Equal(["events"], StatusDetails.Fields(status));
    }

    [Fact]
    public async Task A_message_larger_than_the_limit_ends_the_stream_after_all_earlier_answers()
    {
        using var stream = new RawStream(Clients);
        await stream.SendAsync(Readings.Of("stream-large", 10));
        var large = Readings.One("stream-large", 10);
        large.Note = new string('x', 33 * 1024 * 1024);
        await Record.ExceptionAsync(() => stream.SendAsync(large));

        var (results, end) = await stream.TakeAllAsync();

        Assert.Equal(10, results.Count);
        Assert.Equal(StatusCode.ResourceExhausted, end?.StatusCode);
    }

    [Fact]
    public async Task A_stream_without_events_ends_well()
    {
        using var stream = new RawStream(Clients);
        await stream.EndAsync();

        var (results, end) = await stream.TakeAllAsync();

        Assert.Null(end);
        Assert.Empty(results);
    }

    [Fact]
    public async Task A_deadline_ends_the_stream_and_what_had_a_receipt_stays()
    {
        using var stream = new RawStream(Clients, new CallOptions(
            deadline: DateTime.UtcNow.AddSeconds(6), cancellationToken: TestContext.Current.CancellationToken));
        await stream.SendAsync(Readings.One("stream-deadline", 0));
        await stream.TakeAsync(1);

        var (results, end) = await stream.TakeAllAsync();

        Assert.Empty(results);
        Assert.Equal(StatusCode.DeadlineExceeded, end?.StatusCode);
        Assert.Single(await RecordAsync("stream-deadline-0"));
    }

    private async Task<IReadOnlyList<RecordedEvent>> RecordAsync(string module)
    {
        var response = await Clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = "modules/" + module, PageSize = 1_000 },
            cancellationToken: TestContext.Current.CancellationToken);
        return response.Events;
    }
}
