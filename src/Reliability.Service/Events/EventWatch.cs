using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Errors;
using Reliability.Service.Lives;
using Reliability.Store;
using Reliability.Store.Log;
using Reliability.Store.Revisions;

namespace Reliability.Service.Events;

/// <summary>
/// One watch: the log read page by page, sent as the caller takes it. A page is read when the one before has been taken, so
/// a slow caller holds one page and no connection to the database.
/// </summary>
internal sealed class EventWatch(OrganisationStore store, RevisionGate gate, TimeProvider time, IHostApplicationLifetime lifetime)
{
    private const int MaxEvents = 500;

    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(100), DefaultInterval = TimeSpan.FromSeconds(15);

    /// <summary>Sends until the caller goes away.</summary>
    /// <exception cref="RpcException">INVALID_ARGUMENT: no revision of ours. UNAVAILABLE: the service is stopping.</exception>
    public async Task RunAsync(
        V1.WatchEventsRequest request, IServerStreamWriter<V1.WatchEventsResponse> responses, CancellationToken cancellation)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation, lifetime.ApplicationStopping);
        try
        {
            await FollowAsync(request, responses, stop.Token);
        }
        catch (OperationCanceledException) when (lifetime.ApplicationStopping.IsCancellationRequested && !cancellation.IsCancellationRequested)
        {
            throw Refusals.TryAgain(
                Code.Unavailable, ErrorReasons.Stopping, "The service is stopping. Watch again from the last revision received.")
                .ToRpcException();
        }
    }

    private async Task FollowAsync(
        V1.WatchEventsRequest request, IServerStreamWriter<V1.WatchEventsResponse> responses, CancellationToken stop)
    {
        var choice = new WatchChoice(request);
        var interval = request.HeartbeatInterval?.ToTimeSpan() ?? DefaultInterval;
        var reached = await StartAsync(request, stop);
        await SendAsync(new() { Revision = reached.ToString() });
        for (var sent = time.GetTimestamp(); ;)
        {
            var page = await store.Following.ReadAsync(reached.Position, stop);
            foreach (var response in Messages(page, reached, choice))
            {
                await SendAsync(response);
                sent = time.GetTimestamp();
            }

            reached = page.End;
            if (!page.IsLast)
                continue;
            if (time.GetElapsedTime(sent) >= interval)
            {
                await SendAsync(new() { Revision = reached.ToString() });
                sent = time.GetTimestamp();
            }

            await Task.Delay(Pause, time, stop);
        }

        // A caller that takes nothing holds up the write, and must not hold up the end of the service.
        Task SendAsync(V1.WatchEventsResponse response) => responses.WriteAsync(response, stop);
    }

    /// <summary>
    /// Where the watch begins. A receipt may be given before all that was committed earlier is settled: the watch then
    /// begins where the log is settled, so that nothing is missed.
    /// </summary>
    private async Task<Revision> StartAsync(V1.WatchEventsRequest request, CancellationToken stop)
    {
        var settled = await store.Following.SettledAsync(stop);
        if (request.AfterRevision.Length == 0)
            return request.FromNow ? settled : settled with { Position = 0, CatalogueVersion = 0 };
        var after = await gate.KnownAsync(request.AfterRevision, "after_revision", stop);
        return after.Position < settled.Position ? after : settled;
    }

    private static IEnumerable<V1.WatchEventsResponse> Messages(LogPage page, Revision reached, WatchChoice choice)
    {
        var message = new V1.WatchEventsResponse { Revision = reached.ToString() };
        foreach (var entry in page.Entries)
        {
            var revision = entry.Revision.ToString();
            foreach (var recorded in entry.Events)
            {
                if (choice.Take(recorded) is not { } wire)
                    continue;
                if (message.Events.Count == MaxEvents)
                {
                    yield return message;
                    message = new() { Revision = message.Revision };
                }

                message.Events.Add(new V1.WatchedEvent
                {
                    Event = wire,
                    RecordTime = EventWire.Time(recorded.RecordTime),
                    Revision = revision,
                });
            }

            message.Revision = revision;
        }

        if (message.Events.Count == 0)
            yield break;
        message.Revision = page.End.ToString();
        yield return message;
    }
}
