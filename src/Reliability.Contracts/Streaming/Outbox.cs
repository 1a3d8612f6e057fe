using System.Collections.Concurrent;
using Grpc.Core;
using Reliability.V1;

namespace Reliability.Contracts.Streaming;

/// <summary>What is to be sent, and what was sent and has no answer yet. It outlives the streams it is sent on.</summary>
internal sealed class Outbox<T>(
    IAsyncEnumerable<T> items, Func<T, ModuleEvent> eventOf, EventStreamOptions options, CancellationToken cancellation)
    : IAsyncDisposable
{
    private static readonly WriteOptions MoreFollows = new(WriteFlags.BufferHint);

    private readonly IAsyncEnumerator<T> _items = items.GetAsyncEnumerator(cancellation);
    private readonly ConcurrentQueue<(T Item, ModuleEvent Event)> _unanswered = [];
    private readonly SemaphoreSlim _room = new(options.UnansweredEvents);
    private StreamEventsRequest _message = new();

    // The item that comes next, from when it is asked for until it is taken; a break may come between.
    private Task<ModuleEvent?>? _next;
    private Exception? _failure;
    private bool _allTaken;

    /// <summary>
    /// Sends what has no answer, then goes on with the items; returns at their end or when the stream is gone, and never
    /// throws: why the stream is gone is told to its reader, and why the items failed by <see cref="ThrowUnlessDone"/>.
    /// </summary>
    public async Task SendAsync(IClientStreamWriter<StreamEventsRequest> stream, CancellationToken over)
    {
        _message = new();
        try
        {
            foreach (var (_, posted) in _unanswered.ToArray())
                await AddAsync(stream, posted, over).ConfigureAwait(false);
            while (!_allTaken && await NextAsync(stream, over).ConfigureAwait(false) is { } posted)
            {
                await RoomAsync(stream, over).ConfigureAwait(false);
                _unanswered.Enqueue((_items.Current, posted));
                _next = null;
                await AddAsync(stream, posted, over).ConfigureAwait(false);
            }

            _allTaken = true;
            await FlushAsync(stream, over).ConfigureAwait(false);
            await stream.CompleteAsync().ConfigureAwait(false);
        }
        catch (Exception)
        {
            // The stream is gone, in one of many ways; what the items do wrong is caught where they are taken.
        }
    }

    /// <summary>Takes out the first item without an answer, as its answer has come.</summary>
    /// <exception cref="InvalidOperationException">All were answered: the service answers more than it was sent.</exception>
    public T Answered()
    {
        if (!_unanswered.TryDequeue(out var answered))
            throw new InvalidOperationException("The service answered more events than it was sent.");
        _room.Release();
        return answered.Item;
    }

    /// <summary>Checks that all items were sent and answered.</summary>
    /// <exception cref="InvalidOperationException">Some were not.</exception>
    public void ThrowUnlessDone()
    {
        if (_failure is not null)
            System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(_failure);
        if (!_allTaken || !_unanswered.IsEmpty)
            throw new InvalidOperationException("The service ended the stream before it answered all events.");
    }

    public async ValueTask DisposeAsync()
    {
        if (_next is { IsCompleted: false })
            return; // An enumerator that is still asked for its next item cannot be disposed of.
        await _items.DisposeAsync().ConfigureAwait(false);
        _room.Dispose();
    }

    private async ValueTask<ModuleEvent?> NextAsync(IClientStreamWriter<StreamEventsRequest> stream, CancellationToken over)
    {
        _next ??= TakeAsync();
        if (!_next.IsCompleted)
            await FlushAsync(stream, over).ConfigureAwait(false);
        return await _next.WaitAsync(over).ConfigureAwait(false);
    }

    // The next event; null at the end of the items, or where they fail.
    private async Task<ModuleEvent?> TakeAsync()
    {
        try
        {
            return await _items.MoveNextAsync().ConfigureAwait(false) ? eventOf(_items.Current) : null;
        }
        catch (Exception exception)
        {
            _failure = exception;
            return null;
        }
    }

    private async ValueTask RoomAsync(IClientStreamWriter<StreamEventsRequest> stream, CancellationToken over)
    {
        // Room is only taken here, so that what is seen can but grow. It is waited for when nothing is left to go wrong: room
        // that were given while the message fails to go out would be lost.
        if (_room.CurrentCount == 0)
            await FlushAsync(stream, over).ConfigureAwait(false);
        await _room.WaitAsync(over).ConfigureAwait(false);
    }

    private async ValueTask AddAsync(
        IClientStreamWriter<StreamEventsRequest> stream, ModuleEvent posted, CancellationToken over)
    {
        // A full message goes out with the next event, when it is known whether there is one.
        if (_message.Events.Count == options.EventsPerMessage)
            await WriteAsync(stream, MoreFollows, over).ConfigureAwait(false);
        _message.Events.Add(posted);
    }

    private async ValueTask FlushAsync(IClientStreamWriter<StreamEventsRequest> stream, CancellationToken over)
    {
        if (_message.Events.Count > 0)
            await WriteAsync(stream, WriteOptions.Default, over).ConfigureAwait(false);
    }

    private async ValueTask WriteAsync(IClientStreamWriter<StreamEventsRequest> stream, WriteOptions how, CancellationToken over)
    {
        var message = _message;
        _message = new();
        stream.WriteOptions = how;
        await stream.WriteAsync(message, over).ConfigureAwait(false);
    }
}
