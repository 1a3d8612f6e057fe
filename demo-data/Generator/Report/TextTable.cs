namespace Reliability.DemoData.Report;

/// <summary>A table of plain ASCII: the first column to the left, the others to the right.</summary>
internal sealed class TextTable(params string[] heading)
{
    private readonly List<string[]> _rows = [heading];

    /// <summary>Adds a row with as many cells as the heading.</summary>
    public TextTable Row(params string[] cells)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(cells.Length, heading.Length);
        _rows.Add(cells);
        return this;
    }

    /// <summary>Writes it, indented by two spaces, with a rule under the heading.</summary>
    public void WriteTo(TextWriter output)
    {
        int[] widths = [.. Enumerable.Range(0, heading.Length).Select(column => _rows.Max(row => row[column].Length))];
        for (var row = 0; row < _rows.Count; row++)
        {
            output.WriteLine(Line(_rows[row], widths));
            if (row == 0)
                output.WriteLine("  " + new string('-', widths.Sum() + 2 * (widths.Length - 1)));
        }
    }

    private static string Line(string[] cells, int[] widths)
    {
        var padded = cells.Select((cell, column) => column == 0 ? cell.PadRight(widths[0]) : cell.PadLeft(widths[column]));
        return "  " + string.Join("  ", padded).TrimEnd();
    }
}
