using System.Globalization;
using System.Security.Cryptography;
using Reliability.History.Aliases;

namespace Reliability.History.Events;

/// <summary>
/// Ids made from names, so that the same post always has the same id: name-based UUIDs of version 5 (RFC 9562, 5.5).
/// </summary>
public static class EventIdentity
{
    [ThreadStatic]
    private static IncrementalHash? _sha1;

    private static readonly Guid Namespace = new("6b1f4a52-0c3d-5e8e-9a47-2f1d7c90b3e6");

    /// <summary>Id of a posted event.</summary>
    /// <param name="organisation">The organisation it belongs to.</param>
    /// <param name="source">The system that posted it.</param>
    /// <param name="originalId">The id under which the source posted it.</param>
    public static Guid EventId(string organisation, string source, string originalId) =>
        Named("event", organisation, source, originalId);

    /// <summary>
    /// Original id of a row that came without one: from its content and its running number among identical rows.
    /// </summary>
    /// <param name="content">The event; its ids, record time, note and actor play no part.</param>
    /// <param name="runningNumber">0 for the first of several identical rows, then 1, 2, ...</param>
    public static string OriginalIdFromContent(RecordedEvent content, int runningNumber) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"content-{Convert.ToHexStringLower(EventContent.Hash(content))}-{runningNumber}");

    /// <summary>Resource id of a module that was posted by an identifier.</summary>
    /// <param name="organisation">The organisation it belongs to.</param>
    /// <param name="kind">Kind of the identifier.</param>
    /// <param name="value">The identifier; blanks around it play no part.</param>
    public static string ModuleId(string organisation, IdentifierKind kind, string value)
    {
        var word = kind switch
        {
            IdentifierKind.Serial => "serial",
            IdentifierKind.Udi => "udi",
            IdentifierKind.Asset => "asset",
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Not a kind of identifier."),
        };
        return Named("module", organisation, word, value.Trim()).ToString("D");
    }

    /// <summary>Resource id of an alias: a name has at most one.</summary>
    /// <param name="organisation">The organisation it belongs to.</param>
    /// <param name="kind">What it is about.</param>
    /// <param name="alternate">The name that stands for another.</param>
    public static string AliasId(string organisation, AliasKind kind, string alternate)
    {
        var word = kind switch
        {
            AliasKind.Module => "module",
            AliasKind.Site => "site",
            AliasKind.Refurbisher => "refurbisher",
            AliasKind.HostModel => "host-model",
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Not a kind of alias."),
        };
        return Named("alias", organisation, word, alternate).ToString("D");
    }

    /// <summary>A name-based UUID of version 5 (RFC 9562, 5.5).</summary>
    /// <param name="space">The namespace.</param>
    /// <param name="name">The name.</param>
    public static Guid VersionFive(Guid space, ReadOnlySpan<byte> name)
    {
        var input = new HashedBytes(stackalloc byte[512]);
        AddSpace(ref input, space);
        input.Add(name);
        return VersionFive(input);
    }

    private static Guid Named(params ReadOnlySpan<string> parts)
    {
        var input = new HashedBytes(stackalloc byte[512]);
        AddSpace(ref input, Namespace);
        foreach (var part in parts)
            input.Add(part);
        return VersionFive(input);
    }

    private static void AddSpace(ref HashedBytes input, Guid space)
    {
        Span<byte> bytes = stackalloc byte[16];
        space.TryWriteBytes(bytes, bigEndian: true, out _);
        input.Add(bytes);
    }

    private static Guid VersionFive(HashedBytes spaceAndName)
    {
        Span<byte> hash = stackalloc byte[SHA1.HashSizeInBytes];
#pragma warning disable CA5350 // RFC 9562 prescribes SHA-1 for version 5; it names, it does not protect.
        // Kept, since making one costs as much as the hash: ids are made for every reading that is read from the log.
        _sha1 ??= IncrementalHash.CreateHash(HashAlgorithmName.SHA1);
#pragma warning restore CA5350
        _sha1.AppendData(spaceAndName.Written);
        _sha1.GetHashAndReset(hash);
        hash[6] = (byte)((hash[6] & 0x0F) | 0x50);
        hash[8] = (byte)((hash[8] & 0x3F) | 0x80);
        return new Guid(hash[..16], bigEndian: true);
    }
}
