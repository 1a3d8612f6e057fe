using System.Text.Json;

namespace Reliability.Store.Lives;

/// <summary>Enumerations as the words in which rows hold them: lower case, joined by hyphens.</summary>
internal static class Words
{
    public static string Of<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    public static string? Of<T>(T? value)
        where T : struct, Enum => value is { } given ? Of(given) : null;
}
