using System.Diagnostics;
using Google.Rpc;
using Reliability.Service.Errors;
using Reliability.Service.Json;
using Reliability.Store;

namespace Reliability.Service.Maintenance;

/// <summary>
/// POST /maintenance/rebuild: derives all lives anew, for an operator at the machine. Answers when it is done; a caller that goes
/// away ends it, and what was rebuilt stays.
/// </summary>
internal sealed partial class RebuildEndpoint(ReliabilityStore store, ILogger<RebuildEndpoint> logger)
{
    private int _running;

    public async Task RunAsync(HttpContext context)
    {
        // Browsers send it with every post of a page; no page has a reason to start this.
        if (context.Request.Headers.ContainsKey("Origin"))
        {
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return;
        }

        if (Interlocked.Exchange(ref _running, 1) == 1)
        {
            await RefuseAsync(context, StatusCodes.Status409Conflict, Refusals.Status(
                Code.Aborted, ErrorReasons.RebuildRunning, "A rebuild is under way in this service."));
            return;
        }

        try
        {
            LogBegins();
            var start = Stopwatch.GetTimestamp();
            var modules = await store.RebuildAsync(context.RequestAborted);
            var seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
            LogDone(modules, seconds);
            await context.Response.WriteAsJsonAsync(new RebuildDone(modules, seconds), context.RequestAborted);
        }
        catch (StoreUnavailableException)
        {
            await RefuseAsync(context, StatusCodes.Status503ServiceUnavailable, Refusals.TryAgain(
                Code.Unavailable, ErrorReasons.StoreUnavailable,
                "The store does not answer just now. What was rebuilt stays; start the rebuild again."));
        }
        catch (OperationCanceledException) when (context.RequestAborted.IsCancellationRequested)
        {
            LogGivenUp();
        }
        finally
        {
            Volatile.Write(ref _running, 0);
        }
    }

    private static Task RefuseAsync(HttpContext context, int httpStatus, Google.Rpc.Status status) =>
        StatusJson.WriteAsync(context, status, httpStatus);

    [LoggerMessage(1, LogLevel.Information, "The rebuild of all lives begins.")]
    private partial void LogBegins();

    [LoggerMessage(2, LogLevel.Information, "All lives of {Modules} modules are rebuilt, in {Seconds:0.0} s.")]
    private partial void LogDone(long modules, double seconds);

    [LoggerMessage(3, LogLevel.Warning, "The rebuild was given up by its caller.")]
    private partial void LogGivenUp();

    /// <summary>The answer.</summary>
    /// <param name="Modules">How many modules were derived anew.</param>
    /// <param name="Seconds">How long it took.</param>
    private sealed record RebuildDone(long Modules, double Seconds);
}
