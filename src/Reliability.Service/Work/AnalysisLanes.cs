using System.Collections.Concurrent;
using System.Diagnostics;
using System.Threading.RateLimiting;
using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Errors;
using Reliability.Service.PlugIns;
using Reliability.Service.Telemetry;

namespace Reliability.Service.Work;

/// <summary>
/// Runs analysis off the request threads, and only so much of it at once as there are processors. Large samples have a
/// narrower lane, so that a few of them cannot keep all small questions waiting. What goes to plug-ins, in this process or another, has a lane
/// of just these plug-ins and threads of its own: one that hangs holds up nobody who asks something else.
/// </summary>
/// <param name="models">Tells which life models are of plug-ins.</param>
internal sealed class AnalysisLanes(LifeModels models) : IDisposable
{
    private const int LargeRows = 20_000, QueueLength = 256, PluggedWidth = 2, PluggedQueueLength = 32;

    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(2);

    private readonly ConcurrencyLimiter _large = Lane(Math.Max(1, Environment.ProcessorCount / 2));
    private readonly ConcurrencyLimiter _all = Lane(Math.Max(2, Environment.ProcessorCount));
    private readonly ConcurrentDictionary<string, ConcurrencyLimiter> _plugged = new(StringComparer.Ordinal);

    /// <summary>Runs work of a kind over some rows with some life models.</summary>
    /// <param name="kind">Name for telemetry, such as <c>fit</c>.</param>
    /// <param name="rows">Rows of the samples.</param>
    /// <param name="lifeModels">Ids of the life models asked, an empty one for the default; none for all.</param>
    /// <param name="work">Work that stops when told to.</param>
    /// <param name="cancellation">Ends the waiting and the work.</param>
    /// <exception cref="RpcException">RESOURCE_EXHAUSTED: too much is waiting already.</exception>
    public async Task<T> RunAsync<T>(
        string kind, int rows, IReadOnlyCollection<string> lifeModels, Func<CancellationToken, T> work, CancellationToken cancellation)
    {
        if (models.PlugInsAsked(lifeModels) is not { Count: > 0 } plugIns)
            return await RunAsync(kind, rows, work, cancellation);
        // One lane for each set of plug-ins: a question to several must not hold places in the lanes of each while one of them hangs.
        using var lease = await EnterAsync(
            _plugged.GetOrAdd(string.Join(' ', plugIns), _ => Lane(PluggedWidth, PluggedQueueLength)), cancellation);
        return await Task.Factory.StartNew(
            () => Measured(kind, rows, work, cancellation), cancellation, TaskCreationOptions.LongRunning, TaskScheduler.Default);
    }

    /// <summary>Runs work of a kind over some rows.</summary>
    /// <param name="kind">Name for telemetry, such as <c>fit</c>.</param>
    /// <param name="rows">Rows of the samples.</param>
    /// <param name="work">Pure work that stops when told to.</param>
    /// <param name="cancellation">Ends the waiting and the work.</param>
    /// <exception cref="RpcException">RESOURCE_EXHAUSTED: too much is waiting already.</exception>
    public async Task<T> RunAsync<T>(string kind, int rows, Func<CancellationToken, T> work, CancellationToken cancellation)
    {
        using var large = rows > LargeRows ? await EnterAsync(_large, cancellation) : null;
        using var lease = await EnterAsync(_all, cancellation);
        return await Task.Run(() => Measured(kind, rows, work, cancellation), cancellation);
    }

    public void Dispose()
    {
        _large.Dispose();
        _all.Dispose();
        foreach (var lane in _plugged.Values)
            lane.Dispose();
    }

    private static T Measured<T>(string kind, int rows, Func<CancellationToken, T> work, CancellationToken cancellation)
    {
        using var activity = ServiceTelemetry.Analysis.StartActivity(kind);
        activity?.SetTag("reliability.rows", rows);
        var start = Stopwatch.GetTimestamp();
        var outcome = "answered";
        try
        {
            return work(cancellation);
        }
        catch (Exception exception)
        {
            outcome = exception is OperationCanceledException ? "cancelled" : "refused";
            activity?.SetStatus(ActivityStatusCode.Error, outcome);
            throw;
        }
        finally
        {
            ServiceTelemetry.AnalysisDuration.Record(
                Stopwatch.GetElapsedTime(start).TotalSeconds,
                new KeyValuePair<string, object?>("kind", kind), new KeyValuePair<string, object?>("outcome", outcome));
        }
    }

    private static async Task<RateLimitLease> EnterAsync(ConcurrencyLimiter lane, CancellationToken cancellation)
    {
        var lease = await lane.AcquireAsync(1, cancellation);
        if (lease.IsAcquired)
            return lease;
        lease.Dispose();
        throw Refusals.TryAgain(
            Code.ResourceExhausted, ErrorReasons.Busy, "Too much is being computed at once. Try again after a while.",
            RetryAfter).ToRpcException();
    }

    private static ConcurrencyLimiter Lane(int width, int queueLength = QueueLength) => new(new()
    {
        PermitLimit = width,
        QueueLimit = queueLength,
        QueueProcessingOrder = QueueProcessingOrder.OldestFirst,
    });
}
