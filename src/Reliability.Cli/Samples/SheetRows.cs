namespace Reliability.Cli.Samples;

/// <summary>
/// Where rows that went into a request stand in their files, so that a refusal can name lines and columns: an index in a message means
/// nothing to whoever has the file.
/// </summary>
internal sealed class SheetRows
{
    private readonly List<(string Field, string Path, IReadOnlyList<long> Lines)> _sheets = [];

    /// <summary>Remembers the rows of a field.</summary>
    /// <param name="field">The repeated field they became, such as "sample.observations".</param>
    /// <param name="path">The file.</param>
    /// <param name="lines">The line of each row, in order.</param>
    public void Add(string field, string path, IReadOnlyList<long> lines) => _sheets.Add((field, path, lines));

    /// <summary>The place in a file that a field of the request came from; the field itself when it came from none.</summary>
    public string Place(string field)
    {
        foreach ((string prefix, string path, IReadOnlyList<long> lines) in _sheets)
        {
            if (!field.StartsWith(prefix + "[", StringComparison.Ordinal))
                continue;
            int end = field.IndexOf(']', prefix.Length);
            if (end < 0 || !int.TryParse(field[(prefix.Length + 1)..end], out int index) || index >= lines.Count)
                continue;
            string rest = field[(end + 1)..].TrimStart('.');
            return $"{path}: line {lines[index]}" + (rest.Length > 0 ? $": {Column(rest)}" : "");
        }
        return field;
    }

    private static string Column(string field)
    {
        string last = field[(field.LastIndexOf('.') + 1)..];
        int index = last.IndexOf('[', StringComparison.Ordinal);
        return (index < 0 ? last : last[..index]) switch
        {
            "failure_hours" or "survival_hours" => "hours",
            string column => column,
        };
    }
}
