using System.Globalization;
using System.Text;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.BootstrapCoverage;

/// <summary>The page about bounds that simulate, and exact ones.</summary>
internal sealed class SimulatedPage(IReadOnlyList<(Cell Cell, CellResult Result)> cells, int planned, int samples, int seed)
{
    private static readonly (string Method, string Words)[] Methods =
    [
        ("Bootstrap", "bootstrap (percentile-t)"), ("Exact", "exact, pivotal"), (SimulatedCell.SignedRoot, "signed root simulated at the constrained fit"),
    ];

    public string Text()
    {
        var page = new StringBuilder();
        page.AppendLine(CultureInfo.InvariantCulture, $"""
            # How often simulated and exact bounds hold the truth

            95 % two-sided bounds, {samples:N0} simulated samples a cell, seed {seed}, on a stated part of the cells of
            [coverage.md](coverage.md); one command, resumable by cell:

            ```
            dotnet run -c Release --project tests/Reliability.Studies -- bootstrap-coverage --out docs/validation/bootstrap.md
            ```

            Meant: 95 % held, 2.5 % missed on either side. Standard error of a share: 0.7 points at 95 %, 0.5 at 2.5 %. Bootstrap with 1,999
            replicates a sample; the signed root with {SimulatedCell.RootReplicates}, looked at where the truth is: whether its bounds hold it is told by one
            simulation there. Samples with fewer than two failures or without a maximum are left out and counted. An absent bound misses nothing.
            Cells: model, plan, failures expected, share of lives that survive, shape (1 / sigma). In a cell: held %, then truth below and
            above %; in square brackets bounds that were absent, lower and upper.

            """);
        if (cells.Count < planned)
            page.AppendLine(CultureInfo.InvariantCulture, $"Not finished: {cells.Count} of {planned} cells.").AppendLine();
        foreach (var (method, words) in Methods)
        {
            var rows = cells.Where(row => row.Result.Tallies.Any(t => t.Method == method && t.Of > 0)).ToList();
            if (rows.Count == 0)
                continue;
            var all = rows.SelectMany(row => row.Result.Tallies).Where(t => t.Method == method && t.Of > 0).ToList();
            var names = all.Select(t => t.Quantity).Distinct().ToList();
            page.AppendLine(CultureInfo.InvariantCulture, $"## {char.ToUpperInvariant(words[0])}{words[1..]}").AppendLine();
            page.AppendLine(CultureInfo.InvariantCulture, $"Held {all.Min(t => t.Covered):0.0} to {all.Max(t => t.Covered):0.0} %.").AppendLine();
            page.AppendLine($"| cell | none | {string.Join(" | ", names)} |");
            page.AppendLine($"|---|--:|{string.Concat(names.Select(_ => "--:|"))}");
            foreach (var (cell, result) in rows)
                page.AppendLine($"| {cell.Name} | {result.Without} | {string.Join(" | ", names.Select(name => Short(result, method, name)))} |");
            page.AppendLine();
        }

        return page.ToString().TrimEnd() + "\n";
    }

    private static string Short(CellResult result, string method, string quantity)
    {
        var t = result.Tallies.Single(row => row.Method == method && row.Quantity == quantity);
        if (t.Of == 0)
            return "";
        var absent = t.NoLower + t.NoUpper > 0 ? $" [{t.NoLower}, {t.NoUpper}]" : "";
        return string.Create(CultureInfo.InvariantCulture, $"{t.Covered:0.0} ({t.BelowShare:0.0}, {t.AboveShare:0.0}){absent}");
    }
}
