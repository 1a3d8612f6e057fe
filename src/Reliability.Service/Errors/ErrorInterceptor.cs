using Grpc.Core;
using Grpc.Core.Interceptors;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Errors;

/// <summary>The last line before the wire: whatever an endpoint throws leaves as a documented status.</summary>
internal sealed class ErrorInterceptor(Failures failures) : Interceptor
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
            await continuation(new ReadableStream<TRequest>(requestStream, context.CancellationToken), responseStream, context);
        }
        catch (Exception exception) when (exception is not RpcException)
        {
            throw ToStatus(exception, context).ToRpcException();
        }
    }

    public override async Task<TResponse> ClientStreamingServerHandler<TRequest, TResponse>(
        IAsyncStreamReader<TRequest> requestStream, ServerCallContext context,
        ClientStreamingServerMethod<TRequest, TResponse> continuation)
    {
        try
        {
            return await continuation(new ReadableStream<TRequest>(requestStream, context.CancellationToken), context);
        }
        catch (Exception exception) when (exception is not RpcException)
        {
            throw ToStatus(exception, context).ToRpcException();
        }
    }

    private RpcStatus ToStatus(Exception exception, ServerCallContext context) =>
        failures.ToStatus(exception, context.Method, context.Deadline, context.CancellationToken);
}
