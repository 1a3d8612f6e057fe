using System.Globalization;
using System.Text;

namespace Reliability.Studies.BoundsCoverage;

/// <summary>The page about the study.</summary>
internal sealed class CoveragePage(IReadOnlyList<(Cell Cell, CellResult Result)> cells, int planned, int samples, int seed)
{
    private const double LeastCovered = 94, MostCovered = 96, LeastTail = 1.5, MostTail = 3.5;

    public string Text()
    {
        var page = new StringBuilder();
        page.AppendLine(CultureInfo.InvariantCulture, $"""
            # How often bounds hold the truth

            95 % two-sided bounds, {samples:N0} simulated samples a cell, seed {seed}; one command, resumable by cell:

            ```
            dotnet run -c Release --project tests/Reliability.Studies -- coverage --out docs/validation/coverage.md
            ```

            Meant: 95 % held, 2.5 % missed on either side. Aim of calibrated bounds: 94 to 96 % held, either side 1.5 to 3.5 %. Standard error of a
            share: 0.34 points at 95 %, 0.25 at 2.5 %; a share counts as outside only beyond twice that. Samples with fewer than two failures or without a
            maximum have no bounds and are left out of the shares; they are counted. An absent bound misses nothing and is counted too.
            Cells: model, plan, failures expected, share of lives that survive, shape (1 / sigma).

            """);
        if (cells.Count < planned)
            page.AppendLine(CultureInfo.InvariantCulture, $"Not finished: {cells.Count} of {planned} cells.").AppendLine();
        page.AppendLine("## Over all cells").AppendLine();
        page.AppendLine("| bounds | cells times quantities | least held | most held | held within 94 to 96 % | both sides within 1.5 to 3.5 % |");
        page.AppendLine("|---|--:|--:|--:|--:|--:|");
        foreach (var group in cells.SelectMany(row => row.Result.Tallies).Where(t => t.Of > 0).GroupBy(t => t.Method))
        {
            var all = group.ToList();
            page.AppendLine(CultureInfo.InvariantCulture,
                $"| {Words(group.Key)} | {all.Count} | {all.Min(t => t.Covered):0.0} | {all.Max(t => t.Covered):0.0} | {Share(all, IsCovered)} | {Share(all, HasTails)} |");
        }

        page.AppendLine().AppendLine("## Calibrated bounds outside their aim").AppendLine();
        page.AppendLine("Warned: share of answers with `CALIBRATION_LIMITED`, on the number or on the fit. Not r\\*: by likelihood ratio, said on the number.");
        page.AppendLine();
        page.AppendLine("| cell | quantity | held % | truth below % | truth above % | no lower | no upper | not r\\* | warned % |");
        page.AppendLine("|---|---|--:|--:|--:|--:|--:|--:|--:|");
        foreach (var (cell, result) in cells)
        {
            foreach (var t in result.Tallies.Where(t => t.Method == "Calibrated" && t.Of > 0 && !(IsCovered(t) && HasTails(t))))
                page.AppendLine(Row(cell, t));
        }

        page.AppendLine().AppendLine("""
            ## Where they do not hold as said
            Every pair above belongs to one of these; the answer then carries the warning named. In the study a bound that r\* does not give was by
            likelihood ratio; the engine now simulates the signed root first (`BOUNDS_BY_BOOTSTRAP`), which for the mean of a loglogistic gives none
            either ([fresh.md](fresh.md), where the limit of the warning is also looked at on other cells).

            - Observation ended by time, five failures or fewer expected, and the question lies near the end of observation or beyond (B10 where
              a tenth fail, reliability at an age beyond the data, mean, scale): held 95 to 98 %, the lower bound missed in 0 to 1.2 %: it is on
              the safe side. `CALIBRATION_LIMITED`, given for fewer than ten failures where the fitted share failed at the age in question is
              more than 0.3 of that at the oldest age.
            - Four failures or fewer, ended by time: as above, and above the upper bound in up to 4 %. `CALIBRATION_LIMITED`.
            - The mean of a loglogistic with few failures: it exists only for shapes above 1, which such samples do not exclude. There is often no
              upper bound (`NO_UPPER_BOUND`).
            - Samples with one failure have no calibrated bounds of two parameters and are left out here. `CALIBRATION_LIMITED`.
            """);
        page.AppendLine().AppendLine("## All cells, calibrated").AppendLine();
        page.AppendLine("Held %, then truth below and above %; how many samples had no estimate.").AppendLine();
        var names = cells[0].Cell.Quantities.Select(q => q.Name).ToList();
        page.AppendLine($"| cell | none | {string.Join(" | ", names.Select(Escaped))} |");
        page.AppendLine($"|---|--:|{string.Concat(names.Select(_ => "--:|"))}");
        foreach (var (cell, result) in cells)
        {
            page.AppendLine($"| {cell.Name} | {result.Without} | {string.Join(" | ", names.Select(name => Short(result, "Calibrated", name)))} |");
        }

        page.AppendLine().AppendLine("## All cells, likelihood ratio").AppendLine();
        page.AppendLine($"| cell | {string.Join(" | ", names.Select(Escaped))} |");
        page.AppendLine($"|---|{string.Concat(names.Select(_ => "--:|"))}");
        foreach (var (cell, result) in cells)
            page.AppendLine($"| {cell.Name} | {string.Join(" | ", names.Select(name => Short(result, "LikelihoodRatio", name)))} |");
        return page.ToString();
    }

    /// <summary>Calibrated bounds outside their aim, the Monte Carlo error allowed for.</summary>
    public int Misses => cells.Sum(row => row.Result.Tallies.Count(t => t.Method == "Calibrated" && t.Of > 0 && !(IsCovered(t) && HasTails(t))));

    private static string Row(Cell cell, Tally t) => string.Create(
        CultureInfo.InvariantCulture,
        $"| {cell.Name} | {Escaped(t.Quantity)} | {t.Covered:0.0} | {t.BelowShare:0.0} | {t.AboveShare:0.0} | {t.NoLower} | {t.NoUpper} | {t.Instead} | {Warned(t)} |");

    /// <summary>The bar of a condition would end a field of the table.</summary>
    private static string Escaped(string quantity) => quantity.Replace("|", "\\|", StringComparison.Ordinal);

    private static string Warned(Tally t) =>
        t.Warned is { } warned ? (100.0 * warned / t.Of).ToString("0", CultureInfo.InvariantCulture) : "";

    private static string Short(CellResult result, string method, string quantity)
    {
        var t = result.Tallies.Single(row => row.Method == method && row.Quantity == quantity);
        return t.Of == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"{t.Covered:0.0} ({t.BelowShare:0.0}, {t.AboveShare:0.0})");
    }

    private static string Share(List<Tally> all, Func<Tally, bool> within) =>
        string.Create(CultureInfo.InvariantCulture, $"{100.0 * all.Count(within) / all.Count:0} %");

    public static bool IsCovered(Tally t) => IsWithin(t.Covered, LeastCovered, MostCovered, t.Of);

    public static bool HasTails(Tally t) =>
        IsWithin(t.BelowShare, LeastTail, MostTail, t.Of) && IsWithin(t.AboveShare, LeastTail, MostTail, t.Of);

    private static bool IsWithin(double share, double least, double most, int of)
    {
        double Error(double at) => 2 * Math.Sqrt(at * (100 - at) / of);
        return share >= least - Error(least) && share <= most + Error(most);
    }

    private static string Words(string method) => method switch
    {
        "LikelihoodRatio" => "likelihood ratio",
        "NormalApproximation" => "normal approximation",
        _ => method.ToLowerInvariant(),
    };
}
