namespace Reliability.Files;

/// <summary>Finds the known names that a mistyped one may mean.</summary>
internal static class NearestNames
{
    private const int Shown = 3;

    /// <summary>A sentence to add to a problem, such as <c>; did you mean "site"?</c>; empty when nothing is near.</summary>
    /// <param name="name">The name that is not known.</param>
    /// <param name="known">Those that are.</param>
    public static string Hint(string name, IEnumerable<string> known)
    {
        string[] near = [.. Of(name, known).Select(Quoted.Of)];
        return near.Length switch
        {
            0 => "",
            1 => $"; did you mean {near[0]}?",
            _ => $"; did you mean {string.Join(", ", near[..^1])} or {near[^1]}?",
        };
    }

    /// <summary>The nearest names, the nearest first: those that at most a third of the letters set apart.</summary>
    public static IEnumerable<string> Of(string name, IEnumerable<string> known)
    {
        if (name.Length > 100)
            return [];
        string wanted = Plain(name);
        return known
            .Select(other => (Name: other, Distance: Distance(wanted, Plain(other))))
            .Where(pair => pair.Distance <= Math.Max(1, Math.Max(wanted.Length, pair.Name.Length) / 3))
            .OrderBy(pair => pair.Distance).ThenBy(pair => pair.Name, StringComparer.Ordinal)
            .Take(Shown).Select(pair => pair.Name);
    }

    private static string Plain(string name) =>
        string.Concat(name.Where(char.IsLetterOrDigit)).ToUpperInvariant();

    /// <summary>Single-letter changes from one word to the other (Levenshtein 1966).</summary>
    private static int Distance(string one, string other)
    {
        if (Math.Abs(one.Length - other.Length) > 40)
            return int.MaxValue;
        int[] row = [.. Enumerable.Range(0, other.Length + 1)];
        for (int i = 1; i <= one.Length; i++)
        {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= other.Length; j++)
            {
                int changed = diagonal + (one[i - 1] == other[j - 1] ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.Min(changed, Math.Min(row[j], row[j - 1]) + 1);
            }
        }
        return row[^1];
    }
}
