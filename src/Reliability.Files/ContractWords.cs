using System.Collections.Concurrent;
using System.Reflection;
using Google.Protobuf.Reflection;

namespace Reliability.Files;

/// <summary>
/// The values of the contract's enumerations in words: REMOVAL_REASON_LOW_OUTPUT is "low output". The same words are
/// read from files.
/// </summary>
public static class ContractWords
{
    private static readonly ConcurrentDictionary<Type, IReadOnlyList<(Enum Value, string Word)>> Known = new();

    /// <summary>A value in words; empty for the unspecified one.</summary>
    public static string Of(Enum value) =>
        All(value.GetType()).FirstOrDefault(known => Equals(known.Value, value)).Word ?? value.ToString();

    /// <summary>The words of an enumeration, the unspecified one left out.</summary>
    public static IEnumerable<string> Of<T>()
        where T : struct, Enum => All(typeof(T)).Select(known => known.Word).Where(word => word.Length > 0);

    /// <summary>Finds the value that a word stands for, whatever its case, hyphens or underscores.</summary>
    public static bool TryParse<T>(string word, out T value)
        where T : struct, Enum
    {
        string wanted = Plain(word);
        foreach ((Enum known, string text) in All(typeof(T)))
        {
            if (text.Length > 0 && text == wanted)
            {
                value = (T)known;
                return true;
            }
        }
        value = default;
        return false;
    }

    private static string Plain(string word) =>
        string.Join(' ', word.ToUpperInvariant().Split([' ', '_', '-'], StringSplitOptions.RemoveEmptyEntries)).ToLowerInvariant();

    private static IReadOnlyList<(Enum Value, string Word)> All(Type type) => Known.GetOrAdd(type, static type =>
    {
        List<(Enum Value, string Name)> names =
        [
            .. type.GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => (
                (Enum)field.GetValue(null)!,
                field.GetCustomAttribute<OriginalNameAttribute>()?.Name ?? field.Name)),
        ];
        // The zero value is PREFIX_UNSPECIFIED by the contract's lint rules.
        string zero = names.Single(name => Convert.ToInt32(name.Value, null) == 0).Name;
        int prefix = zero.Length - "UNSPECIFIED".Length;
        return [.. names.Select(name => (name.Value, name.Name == zero ? "" : Plain(name.Name[prefix..])))];
    });
}
