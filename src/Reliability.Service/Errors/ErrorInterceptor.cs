using Google.Rpc;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Reliability.Analysis;
using Reliability.Engine.Abstractions;
using Reliability.Store;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Errors;

/// <summary>
/// The last line before the wire: whatever an endpoint throws leaves as a documented status. What is not a refusal is
/// logged under an opaque incident id, and only that id goes out.
/// </summary>
internal sealed partial class ErrorInterceptor(ILogger<ErrorInterceptor> logger, TimeProvider time) : Interceptor
{
    public override async Task<TResponse> UnaryServerHandler<TRequest, TResponse>(
        TRequest request, ServerCallContext context, UnaryServerMethod<TRequest, TResponse> continuation)
    {
        try
        {
            return await continuation(request, context);
        }
        catch (Exception exception) when (exception is not RpcException)
        {
            throw ToStatus(exception, context).ToRpcException();
        }
    }

    public override async Task ServerStreamingServerHandler<TRequest, TResponse>(
        TRequest request, IServerStreamWriter<TResponse> responseStream, ServerCallContext context,
        ServerStreamingServerMethod<TRequest, TResponse> continuation)
    {
        try
        {
            await continuation(request, responseStream, context);
        }
        catch (Exception exception) when (exception is not RpcException)
        {
            throw ToStatus(exception, context).ToRpcException();
        }
    }

    public override async Task DuplexStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, IServerStreamWriter<TResponse> responseStream, ServerCallContext context,
        DuplexStreamingServerMethod<TRequest, TResponse> continuation)
    {
        try
        {
            await continuation(requestStream, responseStream, context);
        }
        catch (Exception exception) when (exception is not RpcException)
        {
            throw ToStatus(exception, context).ToRpcException();
        }
    }

    private RpcStatus ToStatus(Exception exception, ServerCallContext context)
    {
        switch (exception)
        {
            case UnsupportedRequestException unsupported:
                var violations = new Violations();
                violations.Add(unsupported.Option, unsupported.Rule);
                return violations.ToStatus(ErrorReasons.UnsupportedOption);
            case RequestRefusedException refused:
                return Refused(refused);
            case StoreUnavailableException unavailable:
                LogUnavailable(unavailable, context.Method);
                return Refusals.TryAgain(
                    Code.Unavailable, ErrorReasons.StoreUnavailable, "The store does not answer just now. Try again.");
            case OperationCanceledException when time.GetUtcNow().UtcDateTime >= context.Deadline:
                return Refusals.Status(
                    Code.DeadlineExceeded, ErrorReasons.DeadlineExceeded, "The deadline passed before the answer was ready.");
            // A stream that its caller resets ends in an IOException: no fault of ours either.
            case OperationCanceledException or IOException when context.CancellationToken.IsCancellationRequested:
                return Refusals.Status(Code.Cancelled, ErrorReasons.Cancelled, "The caller gave up.");
            default:
                return Incident(exception, context.Method);
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

    [LoggerMessage(2, LogLevel.Warning, "{Method}: the store does not answer.")]
    private partial void LogUnavailable(Exception exception, string method);

    [LoggerMessage(1, LogLevel.Error, "{Method} failed. Incident {Incident}.")]
    private partial void LogIncident(Exception exception, string method, string incident);
}
