using System.Diagnostics;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;
using Reliability.History.Events;

namespace Reliability.Store.Posting;

/// <summary>
/// Commits the posts of all callers together, two windows at a time: while the database works on one, the next is put
/// together. Waiting posts are bounded.
/// </summary>
internal sealed class EventWriter : IAsyncDisposable
{
    /// <summary>How many windows are committed at a time. More do not help: the database is the one that works.</summary>
    private const int Lanes = 2;

    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(2);
    private const int Attempts = 12, AttemptsWhenFull = 2;

    private readonly PostQueue _queue;
    private readonly ILogger _log;
    private readonly Task[] _lanes;

    /// <summary>Starts the lanes.</summary>
    /// <param name="lane">Makes the commits of a lane; it is given what the other lanes are committing just now for an organisation.</param>
    /// <param name="options">How much waits and is committed together.</param>
    /// <param name="log">Takes commits that failed.</param>
    public EventWriter(
        Func<Func<string, IEnumerable<RecordedEvent>>, WindowCommit> lane, ReliabilityStoreOptions options, ILogger log)
    {
        (_queue, _log) = (new PostQueue(options, Lanes), log);
        _lanes =
        [
            .. Enumerable.Range(0, Lanes).Select(number => Task.Run(() =>
                WriteAsync(number, lane(organisation => _queue.Beside(number, organisation))))),
        ];
    }

    /// <summary>Whether the last commit failed for want of space.</summary>
    public bool StorageFull { get; private set; }

    /// <summary>Tells that there is space again.</summary>
    public void NoteSpace() => StorageFull = false;

    public async Task<IReadOnlyList<RecordOutcome>> PostAsync(
        string organisation, IReadOnlyList<PostedEvent> events, CancellationToken cancellation)
    {
        var post = new Post(organisation, events, cancellation);
        try
        {
            await _queue.AddAsync(post, cancellation);
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
        _queue.Close();
        await Task.WhenAll(_lanes);
        _queue.Dispose();
    }

    private async Task WriteAsync(int number, WindowCommit lane)
    {
        while (await _queue.TakeAsync(number) is { } posts)
        {
            foreach (var window in posts.GroupBy(post => post.Organisation))
                await CommitAsync(lane, window.Key, [.. window]);
            _queue.Done(number);
        }
    }

    private async Task CommitAsync(WindowCommit lane, string organisation, IReadOnlyList<Post> window)
    {
        using var activity = StoreTelemetry.Source.StartActivity("commit window");
        var events = window.Count == 1 ? window[0].Events : [.. window.SelectMany(post => post.Events)];
        activity?.SetTag("reliability.window.events", events.Count);
        activity?.SetTag("reliability.window.posts", window.Count);
        var started = Stopwatch.GetTimestamp();
        try
        {
            var outcomes = await WithRetriesAsync(lane, organisation, events);
            var taken = 0;
            foreach (var post in window)
            {
                post.Succeed(new ArraySegment<RecordOutcome>(outcomes, taken, post.Events.Count));
                taken += post.Events.Count;
            }
            StoreTelemetry.WindowEvents.Record(events.Count);
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
            foreach (var post in window) await CommitAsync(lane, organisation, [post]);
        }
        catch (Exception exception)
        {
            activity?.SetStatus(ActivityStatusCode.Error);
            _log.LogError(exception, "A post of {Events} events cannot be stored", events.Count);
            window[0].Fail(exception);
        }
    }

    /// <summary>
    /// Commits under one window number however often it is tried: an attempt whose answer was lost after the commit is
    /// recognised by it.
    /// </summary>
    private async Task<RecordOutcome[]> WithRetriesAsync(
        WindowCommit lane, string organisation, IReadOnlyList<PostedEvent> events)
    {
        long? number = null;
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                number ??= await lane.NextNumberAsync();
                var outcomes = await lane.CommitAsync(organisation, events, number.Value);
                StorageFull = false;
                return outcomes;
            }
            catch (Exception exception) when (Failure.IsPassing(exception))
            {
                var full = Failure.IsStorageFull(exception);
                StorageFull |= full;
                if (attempt >= (full ? AttemptsWhenFull : Attempts)) throw new StoreUnavailableException(exception);
                _log.LogWarning("A commit is tried again ({Attempt}): {Reason}", attempt, exception.Message);
                StoreTelemetry.WindowRetries.Add(1);
                var pause = TimeSpan.FromMilliseconds(10 << attempt);
                await Task.Delay(pause < LongestPause ? pause : LongestPause);
            }
        }
    }
}
