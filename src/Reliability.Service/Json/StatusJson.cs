using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Rpc;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Json;

/// <summary>Writes a <c>google.rpc.Status</c> with its details as JSON.</summary>
internal static class StatusJson
{
    /// <summary>The detail messages that answers may carry.</summary>
    public static TypeRegistry Details { get; } = TypeRegistry.FromMessages(
        BadRequest.Descriptor, ErrorInfo.Descriptor, ResourceInfo.Descriptor, RetryInfo.Descriptor);

    private static readonly JsonFormatter Formatter =
        new(JsonFormatter.Settings.Default.WithFormatDefaultValues(true).WithTypeRegistry(Details));

    /// <summary>Answers with the status, under the HTTP status that belongs to its code unless another is given.</summary>
    public static async Task WriteAsync(HttpContext context, RpcStatus status, int? httpStatus = null)
    {
        context.Response.StatusCode = httpStatus ?? HttpStatus.Of((Code)status.Code);
        context.Response.ContentType = "application/json; charset=utf-8";
        await context.Response.WriteAsync(Formatter.Format(status), context.RequestAborted);
    }
}
