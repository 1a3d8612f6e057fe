using Google.Protobuf;
using Reliability.Store.Paging;

namespace Reliability.Service.Paging;

/// <summary>Tokens of lists that the store pages: its own place, bound to the question.</summary>
internal static class StoreToken
{
    public static string Make(IMessage request, PageToken? next) => BoundToken.Make(request, next?.ToString());

    /// <exception cref="Grpc.Core.RpcException">INVALID_ARGUMENT: the token is none of ours, or of another question.</exception>
    public static PageToken? Read(IMessage request, string token)
    {
        if (BoundToken.Read(request, token) is not { } place)
            return null;
        return PageToken.TryParse(place, out var read) ? read : throw BoundToken.Malformed();
    }
}
