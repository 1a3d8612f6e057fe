using System.Diagnostics;
using System.Text.Json;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Who watches gets what is recorded, in order, once, and can go on after a cut.</summary>
public sealed class WatchTests(SharedService shared)
{
    private const string Note = "watched note", Actor = "watched-actor";

    // What the host waits for at its end; the service must not, and how long it takes is no matter otherwise.
    private const int HostWaitsSeconds = 300;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private ServiceClients Clients => shared.Clients;

    [Fact]
    public async Task Events_come_in_order_once_and_again_from_the_last_revision_seen()
    {
        var start = await StartAsync("watch-order");
        var posting = new Posting(Clients, "watch-order");
        for (var n = 1; n <= 3; n++)
            await posting.ReceiptsAsync(Events(posting, "watch-order", n * 100, 3));
        var (first, cut) = await TakeAsync(new() { AfterRevision = start, Modules = { "modules/watch-order" } }, 9);
        for (var n = 4; n <= 5; n++)
            await posting.ReceiptsAsync(Events(posting, "watch-order", n * 100, 3));
        var (rest, _) = await TakeAsync(new() { AfterRevision = cut, Modules = { "modules/watch-order" } }, 6);

        Assert.Equal(
            Enumerable.Range(1, 5).SelectMany(n => Enumerable.Range(n * 100, 3)).Select(n => $"e{n}"),
            first.Concat(rest).Select(watched => watched.Event.EventId));
        Assert.All(first, watched => Assert.Equal(("", ""), (watched.Event.Note, watched.Event.ActorId)));
        Assert.All(first, watched => Assert.NotNull(watched.RecordTime));
        // The revision of an event is one to read your own writes with.
        await Clients.History.GetModuleAsync(
            new GetModuleRequest { Name = "modules/watch-order", MinimumRevision = first[^1].Revision }, cancellationToken: Cancellation);
    }

    [Fact]
    public async Task An_event_recorded_while_somebody_watches_comes_at_once()
    {
        using var call = Clients.History.WatchEvents(
            new WatchEventsRequest { FromNow = true, Modules = { "modules/watch-live" } }, cancellationToken: Cancellation);
        Assert.True(await call.ResponseStream.MoveNext(Cancellation));
        Assert.Empty(call.ResponseStream.Current.Events);
        var posting = new Posting(Clients, "watch-live");

        await posting.ReceiptsAsync(Events(posting, "watch-live", 1, 1));

        Assert.True(await call.ResponseStream.MoveNext(Cancellation));
        Assert.Equal("e1", Assert.Single(call.ResponseStream.Current.Events).Event.EventId);
    }

    [Fact]
    public async Task Only_the_kinds_asked_for_come_and_quiet_is_told()
    {
        var start = await StartAsync("watch-kinds");
        var posting = new Posting(Clients, "watch-kinds");
        await posting.ReceiptsAsync(
            [.. Events(posting, "watch-kinds", 1, 2), posting.Event("r1", "modules/watch-kinds", Time(2024, 2, 1), e => e.Removed = new() { Reason = RemovalReason.Planned })]);
        using var call = Clients.History.WatchEvents(
            new WatchEventsRequest
            {
                AfterRevision = start,
                EventKinds = { "removed" },
                Modules = { "modules/watch-kinds" },
                HeartbeatInterval = new() { Seconds = 1 },
            },
            cancellationToken: Cancellation);

        var messages = new List<WatchEventsResponse>();
        while (messages.Count < 4 && await call.ResponseStream.MoveNext(Cancellation))
            messages.Add(call.ResponseStream.Current);

        Assert.Equal("r1", Assert.Single(messages.SelectMany(message => message.Events)).Event.EventId);
        Assert.All(messages, message => Assert.NotEmpty(message.Revision));
        Assert.Empty(messages[^1].Events);
    }

    [Fact]
    public async Task Readings_that_were_committed_together_come_one_by_one()
    {
        var start = await StartAsync("watch-readings");
        var posting = new Posting(Clients, "watch-readings");
        await posting.ReceiptsAsync(Enumerable.Range(0, 700).Select(n => posting.Event(
            $"e{n:000}", "modules/watch-readings", Minute(n), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = n } } })));

        var (events, _) = await TakeAsync(new() { AfterRevision = start, Modules = { "modules/watch-readings" } }, 700);

        Assert.Equal(Enumerable.Range(0, 700).Select(n => $"e{n:000}"), events.Select(watched => watched.Event.EventId).Order(StringComparer.Ordinal));
        Assert.All(events, watched => Assert.Equal($"e{watched.Event.RunHoursRead.Readings[0].Hours:000}", watched.Event.EventId));
    }

    [Fact]
    public async Task Over_http_each_message_is_a_line()
    {
        var start = await StartAsync("watch-http");
        var posting = new Posting(Clients, "watch-http");
        await posting.ReceiptsAsync(Events(posting, "watch-http", 1, 1));

        await using var lines = await Clients.Http.GetStreamAsync(
            new Uri($"/v1/events:watch?afterRevision={start}&modules=modules/watch-http&heartbeatInterval=1s", UriKind.Relative), Cancellation);
        using var reader = new StreamReader(lines);

        Assert.Empty(JsonDocument.Parse((await reader.ReadLineAsync(Cancellation))!).RootElement.GetProperty("events").EnumerateArray());
        var posted = JsonDocument.Parse((await reader.ReadLineAsync(Cancellation))!).RootElement.GetProperty("events")[0];
        Assert.Equal("e1", posted.GetProperty("event").GetProperty("eventId").GetString());
    }

    [Theory]
    [InlineData("no revision", "after_revision")]
    [InlineData("kind", "event_kinds[0]")]
    [InlineData("both", "from_now")]
    [InlineData("module", "modules[0]")]
    [InlineData("interval", "heartbeat_interval")]
    public async Task What_is_wrong_in_the_question_is_refused(string wrong, string field)
    {
        var request = wrong switch
        {
            "no revision" => new WatchEventsRequest { AfterRevision = "yesterday" },
            "kind" => new() { EventKinds = { "repainted" } },
            "both" => new() { AfterRevision = "x", FromNow = true },
            "module" => new() { Modules = { "serial:A-1" } },
            _ => new WatchEventsRequest { HeartbeatInterval = new() { Seconds = 0 } },
        };
        using var call = Clients.History.WatchEvents(request, cancellationToken: Cancellation);

        var refusal = await Assert.ThrowsAsync<RpcException>(() => call.ResponseStream.MoveNext(Cancellation));

        Assert.Equal(StatusCode.InvalidArgument, refusal.StatusCode);
        Assert.Equal([field], StatusDetails.Fields(StatusDetails.Of(refusal)));
    }

    [Fact]
    public async Task A_stopping_service_ends_watches_also_those_that_are_not_read()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync($"--shutdownTimeoutSeconds={HostWaitsSeconds}");
        using var clients = new ServiceClients(service);
        var posting = new Posting(clients, "watch-stop");
        // More than any window between client and service takes: the one who does not read holds the service up.
        var last = string.Empty;
        for (var n = 0; n < 20; n++)
            last = (await posting.ReceiptsAsync(Events(posting, "watch-stop", n * 1_000, 1_000)))[^1].Revision;
        // Marten's daemon logs an error of its own when it is stopped in the middle of a load; not what is tested here.
        await clients.History.GetModuleAsync(
            new GetModuleRequest { Name = "modules/watch-stop", MinimumRevision = last }, cancellationToken: Cancellation);
        using var unread = clients.History.WatchEvents(new WatchEventsRequest(), cancellationToken: Cancellation);
        using var read = clients.History.WatchEvents(new WatchEventsRequest { FromNow = true }, cancellationToken: Cancellation);
        Assert.True(await read.ResponseStream.MoveNext(Cancellation));
        await Task.Delay(1_000, Cancellation);

        var stopping = Stopwatch.StartNew();
        var ended = Assert.ThrowsAsync<RpcException>(async () =>
        {
            while (await read.ResponseStream.MoveNext(Cancellation))
            {
            }
        });
        Assert.Equal(0, await service.StopAsync());

        Assert.Equal(StatusCode.Unavailable, (await ended).StatusCode);
        Assert.True(stopping.Elapsed < TimeSpan.FromSeconds(HostWaitsSeconds / 3), $"stopped after {stopping.Elapsed}");
    }

    private static Timestamp Minute(int n) =>
        Timestamp.FromDateTimeOffset(new DateTimeOffset(2024, 1, 1, 0, 0, 0, TimeSpan.Zero).AddMinutes(n));

    private static IEnumerable<ModuleEvent> Events(Posting posting, string module, int first, int count) =>
        Enumerable.Range(first, count).Select(n =>
        {
            var posted = posting.Event(
                $"e{n}", "modules/" + module, Minute(n), e => e.Failed = new() { FailureMode = "no light", ReadingHours = n });
            (posted.Note, posted.ActorId) = (Note, Actor);
            return posted;
        });

    /// <summary>The revision at which a watch from now begins, behind an event of the test's own.</summary>
    private async Task<string> StartAsync(string source)
    {
        var posting = new Posting(Clients, source);
        return (await posting.ReceiptsAsync(posting.Event(
            "start", $"modules/{source}-start", Time(2024, 1, 1), e => e.Failed = new())))[0].Revision;
    }

    private async Task<(List<WatchedEvent> Events, string Revision)> TakeAsync(WatchEventsRequest request, int count)
    {
        using var call = Clients.History.WatchEvents(request, cancellationToken: Cancellation);
        var events = new List<WatchedEvent>();
        var revision = string.Empty;
        while (events.Count < count && await call.ResponseStream.MoveNext(Cancellation))
        {
            events.AddRange(call.ResponseStream.Current.Events);
            revision = call.ResponseStream.Current.Revision;
        }

        return (events, revision);
    }
}
