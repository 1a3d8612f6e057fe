namespace Reliability.Store.Posting;

/// <summary>The events of one call, waiting for a commit.</summary>
internal sealed class Post(string organisation, IReadOnlyList<PostedEvent> events, CancellationToken cancellation)
{
    private readonly TaskCompletionSource<IReadOnlyList<RecordOutcome>> _done =
        new(TaskCreationOptions.RunContinuationsAsynchronously);

    public string Organisation { get; } = organisation;

    public IReadOnlyList<PostedEvent> Events { get; } = events;

    /// <summary>How much of a window it takes.</summary>
    public int Weight { get; } = events.Sum(posted => posted.Weight);

    /// <summary>Whether the caller has gone away before the work began.</summary>
    public bool IsAbandoned => cancellation.IsCancellationRequested;

    public Task<IReadOnlyList<RecordOutcome>> Outcome => _done.Task;

    public void Succeed(IReadOnlyList<RecordOutcome> outcomes) => _done.TrySetResult(outcomes);

    public void Fail(Exception exception) => _done.TrySetException(exception);
}
