using System.Collections.Frozen;
using System.Text.Json;

namespace Reliability.Store.Lives;

/// <summary>Enumerations as the words in which rows hold them: lower case, joined by hyphens.</summary>
internal static class Words
{
    public static string Of<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    /// <summary>The value that a word stands for.</summary>
    /// <exception cref="KeyNotFoundException">None.</exception>
    public static T Read<T>(string word)
        where T : struct, Enum => Known<T>.Values[word];

    public static string? Of<T>(T? value)
        where T : struct, Enum => value is { } given ? Of(given) : null;

    private static class Known<T>
        where T : struct, Enum
    {
        public static readonly FrozenDictionary<string, T> Values =
            Enum.GetValues<T>().ToFrozenDictionary(value => Of(value), StringComparer.Ordinal);
    }
}
