using System.Buffers.Text;
using System.Text;
using System.Text.Json;

namespace Reliability.Store.Paging;

/// <summary>The place in a list after which a page begins. Opaque to callers.</summary>
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
            if (parts is not { Length: > 1 } || parts.Any(part => part is null)) return false;
            token = new PageToken(parts[0], parts[1..]);
            return true;
        }
        catch (Exception exception) when (exception is FormatException or JsonException)
        {
            return false;
        }
    }

    /// <summary>The token as text: letters, digits, hyphen and underscore.</summary>
    public override string ToString() => Base64Url.EncodeToString(
        Encoding.UTF8.GetBytes(JsonSerializer.Serialize([List, .. Key], StoreJsonContext.Default.StringArray)));

    /// <summary>The key of a token of this list.</summary>
    /// <exception cref="ArgumentException">The token belongs to another list.</exception>
    internal string[] KeyIn(string list, int parts) => List == list && Key.Length == parts
        ? Key
        : throw new ArgumentException("The page token belongs to another list.");
}
