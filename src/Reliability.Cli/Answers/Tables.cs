using Reliability.Cli.Terminals;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Answers;

/// <summary>Tables and lists of plain text; nothing that comes from data is read as markup.</summary>
internal static class Tables
{
    /// <summary>A table with left-aligned columns.</summary>
    public static Table Of(params string[] columns)
    {
        Table table = new Table().Border(TableBorder.Simple);
        foreach (string column in columns)
            table.AddColumn(new TableColumn(new Text(column)));
        return table;
    }

    /// <summary>Aligns columns to the right, where numbers stand.</summary>
    public static Table Numbers(this Table table, params int[] columns)
    {
        foreach (int column in columns)
            table.Columns[column].RightAligned();
        return table;
    }

    /// <summary>Keeps columns on one line, such as ids that are to be copied.</summary>
    public static Table Whole(this Table table, params int[] columns)
    {
        foreach (int column in columns)
            table.Columns[column].NoWrap();
        return table;
    }

    /// <summary>Adds a row of plain text.</summary>
    public static void Row(this Table table, params string[] cells) => table.AddRow(cells.Select(cell => new Text(cell)));

    /// <summary>Writes a table, if it has rows.</summary>
    public static void Write(this Terminal terminal, Table table)
    {
        if (table.Rows.Count > 0)
            terminal.Out.Write(table);
    }

    /// <summary>Writes what a reader of the numbers should know: the reasons for dashes are here.</summary>
    public static void Warnings(this Terminal terminal, IEnumerable<Warning> warnings)
    {
        List<Warning> all = [.. warnings.Distinct()];
        if (all.Count == 0)
            return;
        terminal.Line("To be known:");
        foreach (Warning warning in all)
            terminal.Item($"{warning.Text} [{warning.Code}]");
        terminal.Line();
    }

    /// <summary>Writes below a table why rows of it have no numbers, a reason once: in a cell it would make the table as wide as itself.</summary>
    public static void Reasons(this Terminal terminal, IEnumerable<(string Row, NotEstimable Reason)> reasons)
    {
        foreach (var alike in reasons.GroupBy(row => row.Reason, row => row.Row))
            terminal.Item($"{string.Join(", ", alike)}: {alike.Key.Text} [{alike.Key.Reason}]");
    }

    /// <summary>Writes precautions for whoever handles the module.</summary>
    public static void Cautions(this Terminal terminal, IEnumerable<Caution> cautions)
    {
        List<Caution> all = [.. cautions.Distinct()];
        if (all.Count == 0)
            return;
        terminal.Line("Before anyone opens equipment:");
        foreach (Caution caution in all)
            terminal.Item(caution.Text);
        terminal.Line();
    }

    /// <summary>Writes an item of a list.</summary>
    public static void Item(this Terminal terminal, string text) => terminal.Line("  - " + text, hanging: 2);
}
