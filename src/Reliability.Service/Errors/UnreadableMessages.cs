using Google.Protobuf;
using Google.Rpc;
using Grpc.AspNetCore.Server;
using Grpc.Core;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Errors;

/// <summary>
/// A gRPC message whose bytes are no message of its type is the caller's fault: INVALID_ARGUMENT, with a reason. gRPC parses
/// before any interceptor sees the call and would answer UNKNOWN, as if the service had failed.
/// </summary>
/// <remarks>What an endpoint throws never leaves as UNKNOWN (<see cref="ErrorInterceptor"/>), so that UNKNOWN means this.</remarks>
internal sealed class UnreadableMessages(RequestDelegate next)
{
    /// <summary>The log of what gRPC itself answers with UNKNOWN: the unreadable message, told to its sender and nobody's alarm.</summary>
    public const string LogCategory = "Grpc.AspNetCore.Server.ServerCallHandler";

    private const string StatusHeader = "grpc-status", MessageHeader = "grpc-message", DetailsHeader = "grpc-status-details-bin";

    /// <summary>The answer to such a message.</summary>
    public static RpcStatus Status { get; } = MakeStatus();

    public async Task InvokeAsync(HttpContext context)
    {
        await next(context);
        var headers = context.Response.Headers;
        if (context.Response.HasStarted || context.GetEndpoint()?.Metadata.GetMetadata<GrpcMethodMetadata>() is null
            || headers[StatusHeader] != ((int)StatusCode.Unknown).ToString(System.Globalization.CultureInfo.InvariantCulture))
            return;

        headers[StatusHeader] = Status.Code.ToString(System.Globalization.CultureInfo.InvariantCulture);
        headers[MessageHeader] = Uri.EscapeDataString(Status.Message);
        headers[DetailsHeader] = Convert.ToBase64String(Status.ToByteArray());
    }

    private static RpcStatus MakeStatus()
    {
        var violations = new Violations();
        violations.Add("(message)", "cannot be read as a message of the method's type");
        return violations.ToStatus(ErrorReasons.UnreadableMessage);
    }
}
