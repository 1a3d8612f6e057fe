namespace Reliability.EndToEnd.Readme;

/// <summary>A block of code in the README.</summary>
/// <param name="Kind">What stands behind its opening fence, such as "sh".</param>
/// <param name="Lines">Its lines.</param>
internal sealed record ReadmeBlock(string Kind, IReadOnlyList<string> Lines)
{
    /// <summary>Its text.</summary>
    public string Text => string.Join('\n', Lines);

    /// <summary>The blocks of a page in order.</summary>
    public static IReadOnlyList<ReadmeBlock> Of(IEnumerable<string> page)
    {
        List<ReadmeBlock> blocks = [];
        List<string>? open = null;
        foreach (var line in page)
        {
            if (!line.StartsWith("```", StringComparison.Ordinal))
            {
                open?.Add(line);
            }
            else if (open is null)
            {
                open = [];
                blocks.Add(new ReadmeBlock(line[3..], open));
            }
            else
            {
                open = null;
            }
        }

        return blocks;
    }
}
