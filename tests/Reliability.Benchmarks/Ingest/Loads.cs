using System.Diagnostics;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Reliability.Contracts.Streaming;
using Reliability.V1;

namespace Reliability.Benchmarks.Ingest;

/// <summary>Posts loads to the service, every event with its receipt.</summary>
internal sealed class Loads(ModuleHistoryService.ModuleHistoryServiceClient history)
{
    private const int LastRevisions = 8;

    private static readonly TimeSpan LookAtLives = TimeSpan.FromMilliseconds(200);

    /// <summary>What a load took.</summary>
    /// <param name="Rate">Events a second from the first event to the last receipt.</param>
    /// <param name="Revisions">The revisions of the last receipts: commits run side by side, so that the last need not be the highest.</param>
    internal sealed record Took(double Rate, IReadOnlyCollection<string> Revisions);

    /// <summary>Posts over one stream.</summary>
    public Task<Took> StreamAsync(
        IReadOnlyCollection<ModuleEvent> events, int eventsPerMessage, bool known, CancellationToken cancellationToken) =>
        StreamAsync(events, events.Count, eventsPerMessage, known, cancellationToken);

    /// <summary>Posts events that are so many, and are made when they are taken.</summary>
    public async Task<Took> StreamAsync(
        IEnumerable<ModuleEvent> events, int count, int eventsPerMessage, bool known, CancellationToken cancellationToken)
    {
        var client = new EventStreamClient(history, new() { EventsPerMessage = eventsPerMessage });
        var revisions = new Queue<string>();
        var last = "";
        var answered = 0;
        var start = Stopwatch.GetTimestamp();
        await foreach (var (posted, result) in client.PostAsync(events.ToAsyncEnumerable(), cancellationToken))
        {
            if (result.Receipt is not { } receipt || receipt.Duplicate != known || result.EventId != posted.EventId)
                throw new InvalidOperationException($"Not the receipt expected: {result}");
            answered++;
            if (receipt.Revision == last)
                continue;
            revisions.Enqueue(last = receipt.Revision);
            if (revisions.Count > LastRevisions)
                revisions.Dequeue();
        }

        var seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
        return answered == count
            ? new(answered / seconds, revisions) : throw new InvalidOperationException($"Only {answered} of {count} events were answered.");
    }

    /// <summary>Posts one event a call from a number of callers; returns events a second and the milliseconds of each call.</summary>
    public async Task<(double Rate, double[] Milliseconds)> CallAsync(
        IReadOnlyList<ModuleEvent> events, int callers, CancellationToken cancellationToken)
    {
        var took = new double[events.Count];
        var next = -1;
        var start = Stopwatch.GetTimestamp();
        await Task.WhenAll(Enumerable.Range(0, callers).Select(_ => Task.Run(
            async () =>
            {
                for (int i; (i = Interlocked.Increment(ref next)) < events.Count;)
                {
                    var sent = Stopwatch.GetTimestamp();
                    var answer = await history.RecordEventsAsync(
                        new RecordEventsRequest { Events = { events[i] } }, cancellationToken: cancellationToken);
                    if (answer.Results[0].Receipt is not { Duplicate: false })
                        throw new InvalidOperationException($"Not the receipt expected: {answer}");
                    took[i] = Stopwatch.GetElapsedTime(sent).TotalMilliseconds;
                }
            },
            cancellationToken)));
        return (events.Count / Stopwatch.GetElapsedTime(start).TotalSeconds, took);
    }

    /// <summary>Posts at a steady pace over one stream, one event a message; returns the milliseconds to each receipt.</summary>
    public async Task<double[]> PacedAsync(IReadOnlyList<ModuleEvent> events, double perSecond, CancellationToken cancellationToken)
    {
        using var call = history.StreamEvents(cancellationToken: cancellationToken);
        var due = new long[events.Count];
        var sending = Task.Run(
            async () =>
            {
                var start = Stopwatch.GetTimestamp();
                for (var i = 0; i < events.Count; i++)
                {
                    // The receipt is waited for from when the event was due, not from when a busy machine got round to it.
                    due[i] = start + (long)(i / perSecond * Stopwatch.Frequency);
                    while (Stopwatch.GetTimestamp() < due[i])
                        await Task.Delay(1, cancellationToken);
                    await call.RequestStream.WriteAsync(new StreamEventsRequest { Events = { events[i] } }, cancellationToken);
                }

                await call.RequestStream.CompleteAsync();
            },
            cancellationToken);
        List<double> took = new(events.Count);
        await foreach (var response in call.ResponseStream.ReadAllAsync(cancellationToken))
        {
            foreach (var result in response.Results)
            {
                if (result.Receipt is not { Duplicate: false })
                    throw new InvalidOperationException($"Not the receipt expected: {result}");
                took.Add(Stopwatch.GetElapsedTime(due[took.Count]).TotalMilliseconds);
            }
        }

        await sending;
        return [.. took];
    }

    /// <summary>Waits until the lives have taken revisions in; returns the seconds it took.</summary>
    public async Task<double> LivesSecondsAsync(IEnumerable<string> revisions, CancellationToken cancellationToken)
    {
        var start = Stopwatch.GetTimestamp();
        foreach (var revision in revisions)
        {
            while (!await AreUpToDateAsync(revision, cancellationToken))
            {
                // Not within the half minute that a call waits.
            }
        }

        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    /// <summary>
    /// Counts how often lives are derived anew until cancelled: how often the last reading of the first module becomes another
    /// one in the list of modules. The list is read from derived rows, unlike GetModule, which derives when it is asked; and it
    /// asks for no revision, so that it does not hasten them.
    /// </summary>
    public async Task<int> DerivationsAsync(CancellationToken over)
    {
        var (count, last) = (0, await LastReadingAsync());
        while (!over.IsCancellationRequested)
        {
            await Task.WhenAny(Task.Delay(LookAtLives, over));
            if (await LastReadingAsync() is var reading && !Equals(reading, last))
                (count, last) = (count + 1, reading);
        }

        return count;
    }

    private async Task<Timestamp> LastReadingAsync() =>
        (await history.ListModulesAsync(new ListModulesRequest { PageSize = 1 })).Modules.Single().LastReadingTime;

    private async Task<bool> AreUpToDateAsync(string revision, CancellationToken cancellationToken)
    {
        try
        {
            await history.ListLivesAsync(
                new ListLivesRequest { PageSize = 1, MinimumRevision = revision }, cancellationToken: cancellationToken);
            return true;
        }
        catch (RpcException exception) when (exception.StatusCode == StatusCode.Unavailable)
        {
            return false;
        }
    }
}
