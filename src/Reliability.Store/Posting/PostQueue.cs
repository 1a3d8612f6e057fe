using System.Diagnostics;
using System.Threading.Channels;
using Reliability.History.Events;

namespace Reliability.Store.Posting;

/// <summary>
/// Posts that wait for a commit, put together into windows that are bounded by size and age. Several writers take windows
/// from it. While no commit is under way, whatever waits goes at once: a lone caller waits for nobody. While one is, posts
/// gather until the window is full, the first of them has waited long enough, or that commit is done.
/// </summary>
/// <remarks>It knows what each writer is committing, from the moment of taking on: windows are taken in the order of the posts.</remarks>
internal sealed class PostQueue : IDisposable
{
    private readonly Channel<Post> _waiting;
    private readonly SemaphoreSlim _turn = new(1);
    // Lets posts in one at a time, in the order in which they came.
    private readonly SemaphoreSlim _door = new(1);
    private readonly int _fullWeight;
    private readonly long _mostWaiting;
    private readonly TimeSpan _longestAge;
    private readonly IReadOnlyList<Post>?[] _taken;
    private Task<bool> _more = Task.FromResult(true);
    private TaskCompletionSource _idle = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private TaskCompletionSource _room = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private long _waitingWeight;
    private int _committing;

    public PostQueue(ReliabilityStoreOptions options, int writers)
    {
        _taken = new IReadOnlyList<Post>?[writers];
        (_fullWeight, _longestAge, _mostWaiting) = (options.CommitWindowEvents, options.CommitWindowAge, options.WaitingEvents);
        _waiting = Channel.CreateBounded<Post>(new BoundedChannelOptions(options.WaitingPosts)
        {
            FullMode = BoundedChannelFullMode.Wait,
        });
    }

    /// <summary>
    /// Lets a post in, or waits until there is room. One that is heavier than all that may wait is let in when nothing else does.
    /// </summary>
    /// <exception cref="ChannelClosedException">No more are let in.</exception>
    public async ValueTask AddAsync(Post post, CancellationToken cancellation)
    {
        await _door.WaitAsync(cancellation);
        try
        {
            while (true)
            {
                var room = Volatile.Read(ref _room).Task;
                var waiting = Interlocked.Read(ref _waitingWeight);
                if (waiting == 0 || waiting + post.Weight <= _mostWaiting) break;
                // All that wait are taken also when the queue is closed, so there will be room.
                await room.WaitAsync(cancellation);
            }
            // Before it is there to be taken.
            Interlocked.Add(ref _waitingWeight, post.Weight);
            try
            {
                await _waiting.Writer.WriteAsync(post, cancellation);
            }
            catch
            {
                Interlocked.Add(ref _waitingWeight, -post.Weight);
                throw;
            }
        }
        finally
        {
            _door.Release();
        }
    }

    /// <summary>Lets no more in; what waits is still taken.</summary>
    public void Close() => _waiting.Writer.TryComplete();

    /// <summary>
    /// The next window, at least one post; null when no more come. Give it back with <see cref="Done"/>.
    /// </summary>
    /// <param name="writer">Number of the writer that takes it, from 0.</param>
    public async Task<IReadOnlyList<Post>?> TakeAsync(int writer)
    {
        // One writer gathers at a time, so that a window is not torn between two.
        await _turn.WaitAsync();
        try
        {
            var window = new List<Post>();
            while (window.Count == 0)
            {
                if (!await MoreAsync()) return null;
                await GatherAsync(window);
            }
            Interlocked.Increment(ref _committing);
            Volatile.Write(ref _taken[writer], window);
            return window;
        }
        finally
        {
            _turn.Release();
        }
    }

    /// <summary>What the other writers are committing just now for an organisation, as it is at the call.</summary>
    public IEnumerable<RecordedEvent> Beside(int writer, string organisation)
    {
        var others = new List<Post>();
        for (var other = 0; other < _taken.Length; other++)
            if (other != writer && Volatile.Read(ref _taken[other]) is { } window)
                others.AddRange(window.Where(post => post.Organisation == organisation));
        return others.SelectMany(post => post.Events).Select(posted => posted.Event);
    }

    /// <summary>Tells that the window of a writer is committed, or has failed.</summary>
    public void Done(int writer)
    {
        Volatile.Write(ref _taken[writer], null);
        if (Interlocked.Decrement(ref _committing) > 0) return;
        Interlocked.Exchange(ref _idle, new(TaskCreationOptions.RunContinuationsAsynchronously)).TrySetResult();
    }

    public void Dispose() => _turn.Dispose();

    private async Task GatherAsync(List<Post> window)
    {
        var began = Stopwatch.GetTimestamp();
        var weight = 0;
        while (true)
        {
            var idle = Volatile.Read(ref _idle).Task;
            while (weight < _fullWeight && _waiting.Reader.TryRead(out var post))
            {
                Interlocked.Add(ref _waitingWeight, -post.Weight);
                if (post.IsAbandoned) continue;
                window.Add(post);
                weight += post.Weight;
            }
            Interlocked.Exchange(ref _room, new(TaskCreationOptions.RunContinuationsAsynchronously)).TrySetResult();
            var left = _longestAge - Stopwatch.GetElapsedTime(began);
            if (window.Count == 0 || weight >= _fullWeight || left <= TimeSpan.Zero || Volatile.Read(ref _committing) == 0)
                return;
            using var woken = new CancellationTokenSource();
            var more = MoreAsync();
            await Task.WhenAny(more, idle, Task.Delay(left, woken.Token));
            await woken.CancelAsync();
            if (more.IsCompletedSuccessfully && !await more) return;
        }
    }

    private Task<bool> MoreAsync()
    {
        if (_more.IsCompleted) _more = _waiting.Reader.WaitToReadAsync().AsTask();
        return _more;
    }
}
