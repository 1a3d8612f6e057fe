using Google.Protobuf;
using Reliability.Service.Errors;

namespace Reliability.Service.Paging;

/// <summary>
/// Page tokens of the wire: a digest of the question, then the place in the list. Opaque to callers, and no secret.
/// </summary>
internal static class BoundToken
{
    private const string Field = "page_token";

    /// <summary>The token that continues this question; empty when there is no further page.</summary>
    public static string Make(IMessage request, string? place) =>
        place is null ? string.Empty : ArgumentDigest.Of(request) + place;

    /// <summary>The place where the page begins; null for the first page.</summary>
    /// <param name="request">The question.</param>
    /// <param name="token">The token it carries.</param>
    /// <exception cref="Grpc.Core.RpcException">INVALID_ARGUMENT: the token is none of ours, or of another question.</exception>
    public static string? Read(IMessage request, string token)
    {
        if (token.Length == 0)
            return null;
        if (token.Length <= ArgumentDigest.Length)
            throw Malformed();
        if (!token.StartsWith(ArgumentDigest.Of(request), StringComparison.Ordinal))
        {
            throw Refusals.InvalidField(
                Field, "belongs to a list with other arguments; repeat the arguments, or start without a token");
        }

        return token[ArgumentDigest.Length..];
    }

    /// <summary>The refusal of a token that is none of ours.</summary>
    public static Grpc.Core.RpcException Malformed() =>
        Refusals.InvalidField(Field, "must be a token of an earlier answer");
}
