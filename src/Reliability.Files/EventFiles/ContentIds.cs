using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Reliability.Files.EventFiles;

/// <summary>
/// Event ids for rows that have none: a name-based UUID (RFC 9562, version 5) of what the row says and of its running
/// number among rows of the file that say the same. So a file gets the same ids each time it is posted.
/// </summary>
internal sealed class ContentIds
{
    // Made once at random for this use.
    private static readonly Guid Space = new("8f0d1c52-6f0b-4a56-9d57-0c8a3f4e7b21");

    private readonly Dictionary<Guid, int> _seen = [];

    /// <summary>How many different rows have got an id.</summary>
    public int Count => _seen.Count;

    /// <summary>Begins anew.</summary>
    public void Forget() => _seen.Clear();

    /// <summary>The id of the next row that says this.</summary>
    /// <param name="kind">What kind of row it is.</param>
    /// <param name="values">Its filled columns, in any order; the id itself and the source are not among them.</param>
    public string Next(string kind, IEnumerable<KeyValuePair<string, string>> values)
    {
        StringBuilder name = new(kind);
        // The length beside each value keeps two rows apart whatever signs their values hold.
        foreach ((string column, string value) in values.OrderBy(pair => pair.Key, StringComparer.Ordinal))
            name.Append(CultureInfo.InvariantCulture, $"\n{column}:{value.Length}:{value}");
        Guid content = Named(Space, name.ToString());
        int number = _seen.GetValueOrDefault(content) + 1;
        _seen[content] = number;
        return Named(content, number.ToString(CultureInfo.InvariantCulture)).ToString();
    }

    /// <summary>A name-based UUID, RFC 9562 section 5.5.</summary>
    internal static Guid Named(Guid space, string name)
    {
        byte[] text = Encoding.UTF8.GetBytes(name);
        byte[] input = new byte[16 + text.Length];
        space.TryWriteBytes(input, bigEndian: true, out _);
        text.CopyTo(input, 16);
#pragma warning disable CA5350 // Version 5 is defined by SHA-1; it is a name here, not a protection.
        Span<byte> hash = SHA1.HashData(input).AsSpan(0, 16);
#pragma warning restore CA5350
        hash[6] = (byte)((hash[6] & 0x0F) | 0x50);
        hash[8] = (byte)((hash[8] & 0x3F) | 0x80);
        return new Guid(hash, bigEndian: true);
    }
}
