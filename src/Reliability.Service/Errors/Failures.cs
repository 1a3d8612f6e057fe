using Google.Rpc;
using Grpc.Core;
using Reliability.Analysis;
using Reliability.Engine.Abstractions;
using Reliability.Service.Paging;
using Reliability.Store;
using Reliability.Store.Paging;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Errors;

/// <summary>
/// Turns whatever an endpoint throws into a documented status. What is not a refusal is logged under an opaque incident id,
/// and only that id goes out.
/// </summary>
internal sealed partial class Failures(ILogger<Failures> logger, TimeProvider time)
{
    /// <summary>The status of what an endpoint threw.</summary>
    /// <param name="exception">What it threw.</param>
    /// <param name="method">The method or route.</param>
    /// <param name="deadline">When its caller's patience ends, UTC.</param>
    /// <param name="cancellation">Whether the caller has gone.</param>
    public RpcStatus ToStatus(Exception exception, string method, DateTime deadline, CancellationToken cancellation)
    {
        switch (exception)
        {
            case UnsupportedRequestException unsupported:
                var violations = new Violations();
                violations.Add(unsupported.Option, unsupported.Rule);
                return violations.ToStatus(ErrorReasons.UnsupportedOption);
            case RequestRefusedException refused:
                return Refused(refused);
            case PageTokenException:
                return BoundToken.Malformed().GetRpcStatus()!;
            case StoreUnavailableException { StorageFull: true } full:
                LogUnavailable(full, method);
                return Refusals.TryAgain(
                    Code.Unavailable, ErrorReasons.StoreFull,
                    "The store has no space left and takes no posts. What got no receipt is not recorded. Try again when there is space.");
            case StoreUnavailableException unavailable:
                LogUnavailable(unavailable, method);
                return Refusals.TryAgain(
                    Code.Unavailable, ErrorReasons.StoreUnavailable, "The store does not answer just now. Try again.");
            case OperationCanceledException when time.GetUtcNow().UtcDateTime >= deadline:
                return Refusals.Status(
                    Code.DeadlineExceeded, ErrorReasons.DeadlineExceeded, "The deadline passed before the answer was ready.");
            // A stream that its caller resets ends in an IOException: no fault of ours either.
            case OperationCanceledException or IOException when cancellation.IsCancellationRequested:
                return Refusals.Status(Code.Cancelled, ErrorReasons.Cancelled, "The caller gave up.");
            case LifeModelFailedException failed:
                return Failed(failed, method);
            default:
                return Incident(exception, method);
        }
    }

    private static RpcStatus Refused(RequestRefusedException refused)
    {
        var violations = new Violations();
        if (refused.Reason == RefusalReasons.TooLarge)
            violations.AddLimit(refused.Field, refused.Rule);
        else
            violations.Add(refused.Field, refused.Rule);
        return violations.ToStatus(refused.Reason == RefusalReasons.OutOfRange ? ErrorReasons.InvalidFields : refused.Reason);
    }

    private RpcStatus Incident(Exception exception, string method)
    {
        var incident = Guid.NewGuid().ToString("N");
        LogIncident(exception, method, incident);
        return Refusals.Status(
            Code.Internal, ErrorReasons.Internal, $"Something went wrong here. Incident {incident} stands in the service's log.");
    }

    private RpcStatus Failed(LifeModelFailedException failed, string method)
    {
        var incident = Guid.NewGuid().ToString("N");
        LogModelFailed(failed, method, failed.ModelId, incident);
        return Refusals.Status(
            Code.Internal, ErrorReasons.LifeModelFailed,
            $"The life model {failed.ModelId}, a plug-in's, failed: {failed.Reason} Incident {incident} stands in the service's log.");
    }

    [LoggerMessage(3, LogLevel.Warning, "{Method}: the plugged-in life model {Model} failed. Incident {Incident}.")]
    private partial void LogModelFailed(Exception exception, string method, string model, string incident);

    [LoggerMessage(2, LogLevel.Warning, "{Method}: the store does not answer.")]
    private partial void LogUnavailable(Exception exception, string method);

    [LoggerMessage(1, LogLevel.Error, "{Method} failed. Incident {Incident}.")]
    private partial void LogIncident(Exception exception, string method, string incident);
}
