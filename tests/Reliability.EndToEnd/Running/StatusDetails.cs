using Google.Protobuf;
using Google.Rpc;
using Grpc.Core;
using Xunit;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.EndToEnd.Running;

/// <summary>Reads refusals: their code, reason and fields, from gRPC and from JSON alike.</summary>
internal static class StatusDetails
{
    // Words that would show what the service is made of.
    private static readonly string[] Internals =
        ["Exception", " at Reliability.", "Npgsql", "Marten", "Postgres", "System.", "select ", "mt_events", "/src/", "C#"];

    private static readonly JsonParser Json = new(JsonParser.Settings.Default.WithTypeRegistry(
        Google.Protobuf.Reflection.TypeRegistry.FromMessages(
            BadRequest.Descriptor, ErrorInfo.Descriptor, ResourceInfo.Descriptor, RetryInfo.Descriptor)));

    public static RpcStatus Of(RpcException exception)
    {
        var status = exception.GetRpcStatus();
        Assert.True(status is not null, $"No details with {exception.Status}");
        Assert.Equal((int)exception.StatusCode, status.Code);
        return Checked(status, exception.Status.Detail);
    }

    public static async Task<RpcStatus> OfAsync(HttpResponseMessage response)
    {
        var text = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.Equal("application/json", response.Content.Headers.ContentType?.MediaType);
        return Checked(Json.Parse<RpcStatus>(text), text);
    }

    public static string Reason(RpcStatus status)
    {
        var info = status.GetDetail<ErrorInfo>();
        Assert.NotNull(info);
        Assert.Equal("reliability", info.Domain);
        return info.Reason;
    }

    public static IReadOnlyList<string> Fields(RpcStatus status) =>
        [.. status.GetDetail<BadRequest>()?.FieldViolations.Select(violation => violation.Field) ?? []];

    /// <summary>A refusal in JSON.</summary>
    public static RpcStatus Parse(string text) => Json.Parse<RpcStatus>(text);

    /// <summary>An answer in JSON that may hold refusals of single items.</summary>
    public static T Parse<T>(string text)
        where T : IMessage, new() => Json.Parse<T>(text);

    /// <summary>No word that shows what the service is made of.</summary>
    public static void ShowsNothingOfTheInside(string text)
    {
        foreach (var word in Internals)
            Assert.DoesNotContain(word, text, StringComparison.Ordinal);
    }

    private static RpcStatus Checked(RpcStatus status, string text)
    {
        Assert.NotEmpty(status.Message);
        ShowsNothingOfTheInside(text + status);
        foreach (var violation in status.GetDetail<BadRequest>()?.FieldViolations ?? [])
            Assert.NotEmpty(violation.Description);
        return status;
    }
}
