using System.Buffers.Text;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace Reliability.Store.Paging;

/// <summary>
/// The place in a list after which a page begins. Opaque to callers, and no secret: each list reads its own organisation
/// only, whatever place it is given.
/// </summary>
public sealed class PageToken
{
    private PageToken(string list, string[] key) => (List, Key) = (list, key);

    internal string List { get; }

    internal string[] Key { get; }

    internal static PageToken After(string list, params string[] key) => new(list, key);

    /// <summary>Reads a token back.</summary>
    /// <param name="text">The token as it was given out.</param>
    /// <param name="token">The place; null when the text is no token.</param>
    public static bool TryParse(string text, out PageToken? token)
    {
        token = null;
        try
        {
            var parts = JsonSerializer.Deserialize(
                Base64Url.DecodeFromChars(text), StoreJsonContext.Default.StringArray);
            // No text of ours has a NUL, and PostgreSQL takes none.
            if (parts is not { Length: > 1 } || parts.Any(part => part?.Contains('\0', StringComparison.Ordinal) != false)) return false;
            token = new PageToken(parts[0], parts[1..]);
            return true;
        }
        // The reader of JSON tells of text that is no Unicode by an InvalidOperationException.
        catch (Exception exception) when (exception is FormatException or JsonException or InvalidOperationException)
        {
            return false;
        }
    }

    /// <summary>The token as text: letters, digits, hyphen and underscore.</summary>
    public override string ToString() => Base64Url.EncodeToString(
        Encoding.UTF8.GetBytes(JsonSerializer.Serialize([List, .. Key], StoreJsonContext.Default.StringArray)));

    /// <summary>The key of a token of this list.</summary>
    /// <exception cref="PageTokenException">The token belongs to another list.</exception>
    internal string[] KeyIn(string list, int parts) => List == list && Key.Length == parts ? Key : throw new PageTokenException();

    /// <summary>A part of a key that is a whole number, 0 or more.</summary>
    /// <exception cref="PageTokenException">It is none.</exception>
    internal static int Number(string part) =>
        int.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : throw new PageTokenException();

    /// <summary>A part of a key that is an id.</summary>
    /// <exception cref="PageTokenException">It is none.</exception>
    internal static Guid Guid(string part) => System.Guid.TryParseExact(part, "D", out var id) ? id : throw new PageTokenException();

    /// <summary>A part of a key that <see cref="Text"/> made of an instant, to the microsecond as the database keeps it.</summary>
    /// <exception cref="PageTokenException">It is none.</exception>
    internal static DateTimeOffset Instant(string part) =>
        long.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out var microseconds)
        && microseconds <= (DateTimeOffset.MaxValue - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond
            ? DateTimeOffset.UnixEpoch.AddTicks(microseconds * TimeSpan.TicksPerMicrosecond)
            : throw new PageTokenException();

    /// <summary>An instant after 1970 as a part of a key.</summary>
    internal static string Text(DateTimeOffset instant) =>
        ((instant - DateTimeOffset.UnixEpoch).Ticks / TimeSpan.TicksPerMicrosecond).ToString(CultureInfo.InvariantCulture);
}
