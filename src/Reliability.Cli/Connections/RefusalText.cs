using System.Globalization;
using System.Text.RegularExpressions;
using Google.Rpc;
using Grpc.Core;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Cli.Connections;

/// <summary>Puts what the service refused into words: the field and the rule of each violation.</summary>
internal static partial class RefusalText
{
    /// <summary>A refused call, a line an item.</summary>
    /// <param name="refusal">The refusal.</param>
    /// <param name="place">Gives a field of the request the place in a file that it came from; its own name when null.</param>
    public static IReadOnlyList<string> Lines(RpcException refusal, Func<string, string>? place = null)
    {
        RpcStatus? status = refusal.GetRpcStatus();
        string message = status is { Message.Length: > 0 } ? status.Message : refusal.Status.Detail;
        List<string> violations = status is null ? [] : [.. Violations(status, place)];
        // With violations the service's message tells the first of them once more; what it does not list it counts.
        string more = MoreViolations().Match(message) is { Success: true } match && int.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) >= violations.Count
            ? $" The first {violations.Count} of {int.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) + 1}:"
            : "";
        return
        [
            violations.Count > 0
                ? $"The service refused the request ({Name(refusal.StatusCode)}):{more}"
                : $"The service refused the request ({Name(refusal.StatusCode)}): {message}",
            .. violations.Concat(status is null ? [] : Details(status)).Select(detail => "  " + detail),
        ];
    }

    /// <summary>A call that the service did not answer.</summary>
    public static string Unreachable(RpcException failure, string address) => failure.StatusCode switch
    {
        StatusCode.DeadlineExceeded => $"The service at {address} did not answer in time.",
        StatusCode.Internal => $"What answers at {address} does not speak gRPC, or broke off. Is this the gRPC address of the service?",
        _ => $"The service at {address} cannot be reached. Is it running, and is this its gRPC address?",
    };

    /// <summary>Whether a failed call is one that the service did not answer, rather than refused.</summary>
    public static bool IsUnreachable(RpcException failure) =>
        failure.StatusCode is StatusCode.Unavailable or StatusCode.DeadlineExceeded
        || (failure.StatusCode is StatusCode.Internal or StatusCode.Unimplemented && failure.GetRpcStatus() is null && IsTransport(failure));

    /// <summary>
    /// A refused event of a file, in one line. Where the event stood in its message is left out: it means nothing to whoever
    /// has the file.
    /// </summary>
    /// <param name="status">The refusal.</param>
    /// <param name="name">Gives a field of the event the name that it has in the file; its own when null.</param>
    public static string Line(RpcStatus status, Func<string, string>? name = null)
    {
        List<string> violations =
        [
            .. (status.GetDetail<BadRequest>()?.FieldViolations ?? []).Select(violation => (Field: PlaceInMessage().Replace(violation.Field, ""), violation.Description))
                .Select(violation => violation.Field.Length == 0 ? violation.Description : $"{name?.Invoke(violation.Field) ?? violation.Field}: {violation.Description}"),
        ];
        return violations.Count > 0 ? string.Join("; ", violations) : $"{Name((StatusCode)status.Code)}: {status.Message}";
    }

    private static bool IsTransport(RpcException failure) =>
        failure.Status.DebugException is not null || failure.StatusCode == StatusCode.Unimplemented;

    private static IEnumerable<string> Details(RpcStatus status)
    {
        ErrorInfo? info = status.GetDetail<ErrorInfo>();
        if (info is { Reason.Length: > 0 })
            yield return $"reason: {info.Reason}";
        ResourceInfo? resource = status.GetDetail<ResourceInfo>();
        if (resource is { ResourceName.Length: > 0 })
            yield return $"about: {resource.ResourceName}";
    }

    private static IEnumerable<string> Violations(RpcStatus status, Func<string, string>? place) =>
        status.GetDetail<BadRequest>()?.FieldViolations.Select(violation => violation.Field.Length == 0
            ? violation.Description
            : $"{place?.Invoke(violation.Field) ?? violation.Field}: {violation.Description}") ?? [];

    [GeneratedRegex(@" \(and ([0-9]+) more\)$", RegexOptions.CultureInvariant)]
    private static partial Regex MoreViolations();

    [GeneratedRegex(@"^events\[[0-9]+\]\.?", RegexOptions.CultureInvariant)]
    private static partial Regex PlaceInMessage();

    // NotFound becomes NOT_FOUND, as the service documents it.
    private static string Name(StatusCode code) =>
        string.Concat(code.ToString().Select((c, i) => i > 0 && char.IsUpper(c) ? "_" + c : c.ToString())).ToUpperInvariant();
}
