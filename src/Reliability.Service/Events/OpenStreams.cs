namespace Reliability.Service.Events;

/// <summary>
/// The streams that are open. When the service stops they are ended first, before the listeners close: a listener that
/// closes drops what is on its way to a caller, or waits for streams that have no end.
/// </summary>
internal sealed class OpenStreams : IHostedLifecycleService, IDisposable
{
    // A caller that does not read its answers cannot be told.
    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(5);

    private readonly CancellationTokenSource _stopping = new();
    private readonly TaskCompletionSource _allEnded = new(TaskCreationOptions.RunContinuationsAsynchronously);

    // Counts the service itself while it runs.
    private int _open = 1;

    /// <summary>Set when the service stops.</summary>
    public CancellationToken Stopping => _stopping.Token;

    /// <summary>Counts a stream in, until its answer has gone out whole.</summary>
    public void Add(HttpContext stream)
    {
        Interlocked.Increment(ref _open);
        stream.Response.OnCompleted(() =>
        {
            Remove();
            return Task.CompletedTask;
        });
    }

    public async Task StoppingAsync(CancellationToken cancellationToken)
    {
        await _stopping.CancelAsync();
        Remove();
        await Task.WhenAny(_allEnded.Task, Task.Delay(LongestWait, cancellationToken));
    }

    public Task StartingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public void Dispose() => _stopping.Dispose();

    private void Remove()
    {
        if (Interlocked.Decrement(ref _open) == 0)
            _allEnded.TrySetResult();
    }
}
