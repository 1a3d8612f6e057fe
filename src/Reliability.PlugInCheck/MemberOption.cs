using System.Globalization;

namespace Reliability.PlugInCheck;

/// <summary>Parameters from which lives are simulated, as <c>ID=VALUE,VALUE</c>.</summary>
internal static class MemberOption
{
    /// <summary>Reads what was given, in its order.</summary>
    /// <param name="texts">The texts.</param>
    /// <returns>Members by the id of the life model.</returns>
    /// <exception cref="UsageException">One is of another form.</exception>
    public static ILookup<string, double[]> Read(IEnumerable<string> texts) => texts.Select(Read).ToLookup(m => m.Id, m => m.Member, StringComparer.Ordinal);

    private static (string Id, double[] Member) Read(string text)
    {
        var parts = text.Split('=', 2);
        var member = new List<double>();
        foreach (var word in parts.Length == 2 ? parts[1].Split(',') : [])
        {
            if (!double.TryParse(word, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || !double.IsFinite(value))
                throw new UsageException($"--member {text}: \"{word}\" is no number.");
            member.Add(value);
        }

        return member.Count > 0 && parts[0].Length > 0
            ? (parts[0], [.. member])
            : throw new UsageException($"--member {text}: it must be ID=VALUE,VALUE with a value for each parameter, in their order.");
    }
}
