using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Grpc.Core;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Errors;

/// <summary>Makes every refusal of the service: <c>google.rpc.Status</c> with details, never with internals.</summary>
internal static class Refusals
{
    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(2);

    /// <summary>A status with its reason and further details.</summary>
    public static RpcStatus Status(Code code, string reason, string message, params ReadOnlySpan<IMessage> details)
    {
        var status = new RpcStatus { Code = (int)code, Message = message };
        status.Details.Add(Any.Pack(new ErrorInfo { Reason = reason, Domain = ErrorReasons.Domain }));
        foreach (var detail in details)
            status.Details.Add(Any.Pack(detail));
        return status;
    }

    /// <summary>One field breaks a rule.</summary>
    public static RpcException InvalidField(string field, string rule, string reason = ErrorReasons.InvalidFields)
    {
        var violations = new Violations();
        violations.Add(field, rule);
        return violations.ToStatus(reason).ToRpcException();
    }

    /// <summary>There is no such resource.</summary>
    public static RpcException NotFound(string resourceType, string name) =>
        Status(
            Code.NotFound, ErrorReasons.NotFound, $"There is no {name}.",
            new ResourceInfo { ResourceType = resourceType, ResourceName = name }).ToRpcException();

    /// <summary>A resource of that name is there already.</summary>
    public static RpcException AlreadyExists(string resourceType, string name) =>
        Status(
            Code.AlreadyExists, ErrorReasons.AlreadyExists, $"{name} is there already.",
            new ResourceInfo { ResourceType = resourceType, ResourceName = name }).ToRpcException();

    /// <summary>The data do not allow an answer.</summary>
    public static RpcException NotEstimable(string reason, string text) =>
        Status(Code.FailedPrecondition, reason, text).ToRpcException();

    /// <summary>Worth another try after a while.</summary>
    public static RpcStatus TryAgain(Code code, string reason, string message, TimeSpan? after = null) =>
        Status(code, reason, message, new RetryInfo { RetryDelay = Duration.FromTimeSpan(after ?? RetryAfter) });
}
