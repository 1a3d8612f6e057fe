using System.Globalization;
using System.Text;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.FreshCoverage;

/// <summary>The page about the second look.</summary>
internal sealed class FreshPage(IReadOnlyDictionary<FreshSet, List<(Cell Cell, CellResult Result)>> sets, int seed)
{
    private const int FewFailures = 10;

    private static readonly double[] Places = [0, 0.1, 0.2, 0.25, 0.3, 0.35, 0.4, 0.6, 1, double.PositiveInfinity];

    private readonly StringBuilder _page = new();

    public string Text()
    {
        Add($"""
            # A second look at bounds

            95 % two-sided bounds, seed {seed}, on cells, shapes and sizes that nothing was set on (but where said); one command, resumable by cell, a file
            a cell in `fresh-cells`:

            ```
            dotnet run -c Release --project tests/Reliability.Studies -- fresh-coverage
            ```

            Names of cells and what counts as outside (94 to 96 % held, either side 1.5 to 3.5 %, twice the standard error allowed for) are those of
            [coverage.md](coverage.md).

            """).AppendLine();
        Limit();
        Plain(FreshSet.LoglogisticMean, "The mean of a loglogistic, simulated where r\\* gives no bound", """
            The cells of coverage.md in which the mean was held in 96.7 to 96.9 % and most bounds were by likelihood ratio. The signed root is simulated
            there now where r\* gives no bound; column "simulated" counts where that gave one. It gave none: the mean exists only for shapes above 1, r comes to
            an end as the mean grows, and likelihood ratio stands in as before, mostly without an upper bound.
            """);
        Plain(FreshSet.OneFailure, "Samples with exactly one failure", """
            Bounds are by likelihood ratio (`CALIBRATION_LIMITED`, with what is found here). Samples with another count
            are left out. The count is given here and not left to chance, so that no method could hold 95 % for every truth.
            """);
        Plain(FreshSet.FewToFailure, "Two to four failures, observation ended at the last", """
            coverage.md begins at five. Exact bounds (`BOUNDS_METHOD_EXACT`) hold as they say here too.
            """);
        Plain(FreshSet.Exact, "Exact bounds with more samples", """
            bootstrap.md has 92.9 % for the shape of the first cell (1,000 samples, standard error 0.7). Bounds that are exact hold 95 %: with more samples and
            another seed they do; the 92.9 was chance.
            """);
        Plain(FreshSet.OneStep, "Likelihood-ratio bounds moved by one step", """
            From 1,000 rows with 50 failures on calibrated bounds are made so; no cell of coverage.md is that large.
            """);
        return _page.ToString().TrimEnd() + "\n";
    }

    private void Limit()
    {
        var rows = sets[FreshSet.Limit];
        _page.AppendLine("## Does `CALIBRATION_LIMITED` mark what it should?").AppendLine();
        Unfinished(FreshSet.Limit);
        Add($"""
            The warning is given for fewer than ten failures, ended by time, where more than 0.3 of the lives that fail by the oldest age fail by the age
            asked, both as fitted; and for fewer than five failures. {FreshSet.Limit.Samples:N0} samples a cell, calibrated bounds. *Place* is that share at the truth. An answer is
            *quiet* when it carries no such warning. Whether it does depends on the count and the fit that came out, so that quiet answers and others
            need not hold 95 % each: taken together they are to.

            | expected failures | place | pairs of cell and quantity | held % | least and most below % | least and most above % | outside | answers warned % | quiet answers held % | quiet below % | quiet above % |
            |---|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|
            """).AppendLine();
        var pairs = rows.SelectMany(row => row.Result.Tallies.Where(t => t.Of > 0).Select(t => (row.Cell, Place: row.Cell.Place(t.Quantity), Tally: t))).ToList();
        foreach (var (words, few) in ((string, Func<Cell, bool>)[])
            [("4", c => c.Failures < 5), ("5 to 9", c => c.Failures is >= 5 and < FewFailures), ("12", c => c.Failures >= FewFailures)])
        {
            var of = pairs.Where(p => few(p.Cell)).ToList();
            Row(words, "shape", [.. of.Where(p => p.Tally.Quantity == "shape").Select(p => p.Tally)]);
            foreach (var (from, to) in Places.Zip(Places.Skip(1)))
            {
                var range = double.IsInfinity(to) ? $"over {Number(from)}" : $"{Number(from)}-{Number(to)}";
                Row(words, range, [.. of.Where(p => p.Place > from && p.Place <= to).Select(p => p.Tally)]);
            }
        }

        _page.AppendLine();
        var outside = pairs.Where(p => IsOutside(p.Tally)).ToList();
        var unmarked = outside.Where(p => p.Tally.Warned < 0.5 * p.Tally.Of).ToList();
        var inside = pairs.Where(p => !IsOutside(p.Tally)).ToList();
        Add($"""
            Of {pairs.Count} pairs {outside.Count} lie outside; in {outside.Count - unmarked.Count} of these most answers carry the warning, in {unmarked.Count} they do not. Of the {inside.Count} pairs inside
            {inside.Count(p => p.Tally.Warned >= 0.5 * p.Tally.Of)} are warned of in most answers.

            | outside | place | quantity | of | held % | below % | above % | not r\* | simulated | warned % |
            |---|--:|---|--:|--:|--:|--:|--:|--:|--:|
            """).AppendLine();
        foreach (var (cell, place, t) in outside.OrderBy(p => p.Tally.Warned * 1.0 / p.Tally.Of))
        {
            Add($"| {cell.Name} | {(place is { } p ? Number(p) : "")} | {Quantity(t)} | {t.Of} | {t.Covered:0.0} | {t.BelowShare:0.0} | {t.AboveShare:0.0} | {t.Instead} | {t.Simulated} | {100.0 * t.Warned / t.Of:0} |")
                .AppendLine();
        }

        _page.AppendLine();
    }

    private void Row(string failures, string place, List<Tally> tallies)
    {
        if (tallies.Count == 0)
            return;
        double of = tallies.Sum(t => t.Of), quiet = tallies.Sum(t => t.Of - t.Warned!.Value);
        double below = tallies.Sum(t => t.QuietBelow!.Value), above = tallies.Sum(t => t.QuietAbove!.Value);

        // Too few quiet answers say nothing of a share of 2.5 %.
        var told = quiet < 1000 ? " | | " : string.Create(
            CultureInfo.InvariantCulture, $"{100 * (quiet - below - above) / quiet:0.0} | {100 * below / quiet:0.0} | {100 * above / quiet:0.0}");
        Add($"| {failures} | {place} | {tallies.Count} | {tallies.Min(t => t.Covered):0.0}-{tallies.Max(t => t.Covered):0.0} | {tallies.Min(t => t.BelowShare):0.0}-{tallies.Max(t => t.BelowShare):0.0} | {tallies.Min(t => t.AboveShare):0.0}-{tallies.Max(t => t.AboveShare):0.0} | {tallies.Count(IsOutside)} | {100 * (of - quiet) / of:0} | {told} |")
            .AppendLine();
    }

    private void Plain(FreshSet set, string title, string words)
    {
        Add($"## {title}").AppendLine().AppendLine();
        Unfinished(set);
        _page.AppendLine(words.ReplaceLineEndings("\n")).AppendLine();
        Add($"{set.Samples:N0} samples a cell; standard error {100 * Math.Sqrt(0.95 * 0.05 / set.Samples):0.00} points at 95 %, {100 * Math.Sqrt(0.025 * 0.975 / set.Samples):0.00} at 2.5 %, more where fewer count.").AppendLine();
        _page.AppendLine();
        _page.AppendLine("| cell | quantity | of | held % | below % | above % | no lower | no upper | by likelihood ratio | simulated | warned % |");
        _page.AppendLine("|---|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|");
        foreach (var (cell, result) in sets[set])
        {
            foreach (var t in result.Tallies.Where(t => t.Of > 0))
            {
                Add($"| {cell.Name} | {Quantity(t)} | {t.Of} | {t.Covered:0.0} | {t.BelowShare:0.0} | {t.AboveShare:0.0} | {t.NoLower} | {t.NoUpper} | {t.Instead} | {t.Simulated} | {100.0 * t.Warned / t.Of:0} |")
                    .AppendLine();
            }
        }

        _page.AppendLine();
    }

    private void Unfinished(FreshSet set)
    {
        if (sets[set].Count < set.Cells.Count)
            Add($"Not finished: {sets[set].Count} of {set.Cells.Count} cells.").AppendLine().AppendLine();
    }

    private StringBuilder Add(FormattableString text) => _page.Append(text.ToString(CultureInfo.InvariantCulture).ReplaceLineEndings("\n"));

    /// <summary>The bar of a condition would end a field of the table.</summary>
    private static string Quantity(Tally t) => t.Quantity.Replace("|", "\\|", StringComparison.Ordinal);

    private static bool IsOutside(Tally t) => !(CoveragePage.IsCovered(t) && CoveragePage.HasTails(t));

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
