using System.Diagnostics;
using System.Runtime.CompilerServices;
using Grpc.Core;
using Reliability.V1;

namespace Reliability.Contracts.Streaming;

/// <summary>
/// Posts any number of events over StreamEvents and goes on after a break: it keeps what has no answer yet, opens another
/// stream and sends that again. Events are recorded once however often they are sent.
/// </summary>
/// <param name="history">The service.</param>
/// <param name="options">How to post; null for the defaults.</param>
public sealed class EventStreamClient(ModuleHistoryService.ModuleHistoryServiceClient history, EventStreamOptions? options = null)
{
    private const string Details = "grpc-status-details-bin";

    private readonly EventStreamOptions _options = options ?? new();

    /// <summary>
    /// Posts events and answers each, in their order. Read the answers: posting goes no further ahead of them than
    /// <see cref="EventStreamOptions.UnansweredEvents"/>.
    /// </summary>
    /// <param name="events">The events, taken as they come.</param>
    /// <param name="cancellation">Ends it. Events without an answer may be on record; posting them again does no harm.</param>
    /// <exception cref="RpcException">
    /// The service cannot be reached at first, or was away for longer than <see cref="EventStreamOptions.GiveUpAfter"/>, or
    /// it refuses the stream as a whole.
    /// </exception>
    public IAsyncEnumerable<EventAnswer<ModuleEvent>> PostAsync(
        IAsyncEnumerable<ModuleEvent> events, CancellationToken cancellation = default) =>
        PostAsync(events, static posted => posted, cancellation);

    /// <summary>The same for things that hold an event, such as rows of a file; each comes back with its answer.</summary>
    /// <typeparam name="T">What the events are made from.</typeparam>
    /// <param name="items">What to post, taken as it comes. When it throws, what came before is answered first.</param>
    /// <param name="eventOf">The event of an item.</param>
    /// <param name="cancellation">Ends it. Events without an answer may be on record; posting them again does no harm.</param>
    /// <exception cref="RpcException">
    /// The service cannot be reached at first, or was away for longer than <see cref="EventStreamOptions.GiveUpAfter"/>, or
    /// it refuses the stream as a whole.
    /// </exception>
    public async IAsyncEnumerable<EventAnswer<T>> PostAsync<T>(
        IAsyncEnumerable<T> items, Func<T, ModuleEvent> eventOf, [EnumeratorCancellation] CancellationToken cancellation = default)
    {
        await using var outbox = new Outbox<T>(items, eventOf, _options, cancellation);
        var pause = _options.FirstPause;
        var answered = 0L;
        var lastAnswer = Stopwatch.GetTimestamp();
        while (true)
        {
            RpcException? broken = null;
            // The end of the one side ends the other: a sender that waits for room would else wait for ever.
            using var over = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
            using var call = history.StreamEvents(cancellationToken: over.Token);
            var sending = outbox.SendAsync(call.RequestStream, over.Token);
            try
            {
                while (true)
                {
                    try
                    {
                        if (!await call.ResponseStream.MoveNext(over.Token).ConfigureAwait(false))
                            break;
                    }
                    catch (RpcException exception)
                    {
                        broken = exception;
                        break;
                    }

                    foreach (var result in call.ResponseStream.Current.Results)
                        yield return new(outbox.Answered(), result);
                    answered += call.ResponseStream.Current.Results.Count;
                    (pause, lastAnswer) = (_options.FirstPause, Stopwatch.GetTimestamp());
                }
            }
            finally
            {
                await over.CancelAsync().ConfigureAwait(false);
                await sending.ConfigureAwait(false);
            }

            cancellation.ThrowIfCancellationRequested();
            if (broken is null)
            {
                outbox.ThrowUnlessDone();
                yield break;
            }

            if (answered == 0 || !IsPassing(broken) || Stopwatch.GetElapsedTime(lastAnswer) > _options.GiveUpAfter)
                throw broken;
            await Task.Delay(pause, cancellation).ConfigureAwait(false);
            pause = pause * 2 < _options.LongestPause ? pause * 2 : _options.LongestPause;
        }
    }

    // A connection that is lost in the middle shows as one of several codes; the service's own refusals carry details.
    private static bool IsPassing(RpcException broken) => broken.StatusCode switch
    {
        StatusCode.Unavailable => true,
        StatusCode.Internal or StatusCode.Unknown or StatusCode.Cancelled => broken.Trailers.GetValueBytes(Details) is null,
        _ => false,
    };
}
