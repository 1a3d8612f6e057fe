namespace Reliability.Cli.Terminals;

/// <summary>Breaks text into lines between words.</summary>
internal static class TextLines
{
    /// <summary>The lines of a text.</summary>
    /// <param name="text">The text, on one line.</param>
    /// <param name="width">The longest line; a word that is longer has one of its own.</param>
    /// <param name="hanging">How much further in than the first line the others begin.</param>
    public static IEnumerable<string> Of(string text, int width, int hanging)
    {
        string indent = new(' ', text.Length - text.TrimStart(' ').Length);
        string line = indent;
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            bool first = line.AsSpan().Trim().IsEmpty;
            if (!first && line.Length + 1 + word.Length > width)
            {
                yield return line;
                line = indent + new string(' ', hanging) + word;
            }
            else
            {
                line += first ? word : " " + word;
            }
        }
        yield return line.TrimEnd();
    }
}
