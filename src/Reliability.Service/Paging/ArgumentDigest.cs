using System.Security.Cryptography;
using Google.Protobuf;

namespace Reliability.Service.Paging;

/// <summary>A digest of what a list was asked, so that a page token serves the same question only.</summary>
internal static class ArgumentDigest
{
    // Where the page begins, how long it is and how fresh it must be are not part of the question.
    private static readonly string[] NotAsked = ["page_token", "page_size", "minimum_revision"];

    /// <summary>Length of a digest in characters.</summary>
    public const int Length = 22;

    /// <summary>The digest of a request.</summary>
    public static string Of(IMessage request)
    {
        var asked = request.Descriptor.Parser.ParseFrom(request.ToByteString());
        foreach (var name in NotAsked)
            asked.Descriptor.FindFieldByName(name)?.Accessor.Clear(asked);
        var bytes = SHA256.HashData([.. System.Text.Encoding.UTF8.GetBytes(asked.Descriptor.FullName), 0, .. asked.ToByteArray()]);
        return System.Buffers.Text.Base64Url.EncodeToString(bytes.AsSpan(0, 16));
    }
}
