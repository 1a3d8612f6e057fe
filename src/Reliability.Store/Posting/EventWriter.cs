using System.Diagnostics;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;

namespace Reliability.Store.Posting;

/// <summary>
/// Commits the posts of all callers together. While one commit is on its way, further posts gather and go into the
/// next: a lone caller waits for nobody, and many callers share the cost of a commit. Waiting posts are bounded.
/// </summary>
internal sealed class EventWriter : IAsyncDisposable
{
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(2);
    private const int Attempts = 12;

    private readonly Channel<Post> _waiting;
    private readonly WindowCommit _commit;
    private readonly int _windowEvents;
    private readonly ILogger _log;
    private readonly Task _loop;

    public EventWriter(WindowCommit commit, ReliabilityStoreOptions options, ILogger log)
    {
        (_commit, _windowEvents, _log) = (commit, options.CommitWindowEvents, log);
        _waiting = Channel.CreateBounded<Post>(new BoundedChannelOptions(options.WaitingPosts)
        {
            SingleReader = true,
            FullMode = BoundedChannelFullMode.Wait,
        });
        _loop = Task.Run(WriteAsync);
    }

    public async Task<IReadOnlyList<RecordOutcome>> PostAsync(
        string organisation, IReadOnlyList<PostedEvent> events, CancellationToken cancellation)
    {
        var post = new Post(organisation, events, cancellation);
        try
        {
            await _waiting.Writer.WriteAsync(post, cancellation);
        }
        catch (ChannelClosedException)
        {
            throw new StoreUnavailableException("The service is stopping.");
        }
        return await post.Outcome.WaitAsync(cancellation);
    }

    /// <summary>Commits what waits, then ends.</summary>
    public async ValueTask DisposeAsync()
    {
        _waiting.Writer.TryComplete();
        await _loop;
    }

    private async Task WriteAsync()
    {
        while (await _waiting.Reader.WaitToReadAsync())
            foreach (var window in Gather().GroupBy(post => post.Organisation))
                await CommitAsync(window.Key, [.. window]);
    }

    /// <summary>Takes what waits now, up to the size of a window; at least one post.</summary>
    private List<Post> Gather()
    {
        var window = new List<Post>();
        var events = 0;
        while (events < _windowEvents && _waiting.Reader.TryRead(out var post))
        {
            if (post.IsAbandoned) continue;
            window.Add(post);
            events += post.Events.Count;
        }
        return window;
    }

    private async Task CommitAsync(string organisation, IReadOnlyList<Post> window)
    {
        using var activity = StoreTelemetry.Source.StartActivity("commit window");
        var events = window.Sum(post => post.Events.Count);
        activity?.SetTag("reliability.window.events", events);
        activity?.SetTag("reliability.window.posts", window.Count);
        var started = Stopwatch.GetTimestamp();
        try
        {
            var outcomes = await WithRetriesAsync(
                organisation, [.. window.SelectMany(post => post.Events)]);
            var taken = 0;
            foreach (var post in window)
            {
                post.Succeed([.. outcomes.Skip(taken).Take(post.Events.Count)]);
                taken += post.Events.Count;
            }
            StoreTelemetry.WindowEvents.Record(events);
            StoreTelemetry.WindowDuration.Record(Stopwatch.GetElapsedTime(started).TotalSeconds);
        }
        catch (StoreUnavailableException exception)
        {
            activity?.SetStatus(ActivityStatusCode.Error);
            foreach (var post in window) post.Fail(exception);
        }
        catch (Exception exception) when (window.Count > 1)
        {
            // One of the posts cannot be stored; the others must not suffer from its company.
            _log.LogWarning(exception, "A commit of {Posts} posts failed; each is tried alone", window.Count);
            foreach (var post in window) await CommitAsync(organisation, [post]);
        }
        catch (Exception exception)
        {
            activity?.SetStatus(ActivityStatusCode.Error);
            _log.LogError(exception, "A post of {Events} events cannot be stored", events);
            window[0].Fail(exception);
        }
    }

    /// <summary>
    /// Commits under one window number however often it is tried: an attempt whose answer was lost after the commit is
    /// recognised by it.
    /// </summary>
    private async Task<IReadOnlyList<RecordOutcome>> WithRetriesAsync(
        string organisation, IReadOnlyList<PostedEvent> events)
    {
        long? number = null;
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                number ??= await _commit.NextNumberAsync();
                return await _commit.CommitAsync(organisation, events, number.Value);
            }
            catch (Exception exception) when (Failure.IsPassing(exception))
            {
                if (attempt == Attempts) throw new StoreUnavailableException(exception);
                _log.LogWarning("A commit is tried again ({Attempt}): {Reason}", attempt, exception.Message);
                StoreTelemetry.WindowRetries.Add(1);
                var pause = TimeSpan.FromMilliseconds(10 << attempt);
                await Task.Delay(pause < LongestPause ? pause : LongestPause);
            }
        }
    }
}
