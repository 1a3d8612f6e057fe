using System.Globalization;

namespace Reliability.Studies.Prediction;

/// <summary>
/// The table of cells by quadrature in docs/validation/prediction.md: of each figure the range over the ages of the predicted unit. Runs of
/// one cell under several seeds are taken together.
/// </summary>
internal static class PredictionTable
{
    private static readonly int Least = Array.IndexOf(PredictionStudy.Levels, 0.025), Twentieth = Array.IndexOf(PredictionStudy.Levels, 0.05),
        Most = Array.IndexOf(PredictionStudy.Levels, 0.975);

    /// <summary>The lines of the table.</summary>
    /// <param name="results">What came out, four ages a cell, way and seed.</param>
    public static IEnumerable<string> Lines(IEnumerable<CellResult> results)
    {
        yield return "| cell (plan/shape/failures/censored/family/visits) | way | samples | held, % | lower miss, % | upper miss, % | at 5 %, % | no prediction |";
        yield return "|---|---|--:|--:|--:|--:|--:|--:|";
        foreach (var group in results.GroupBy(r => (r.Cell, r.Method)))
        {
            var rows = group.GroupBy(r => r.Age).Select(age => Together([.. age])).ToList();
            string Range(Func<CellResult, double> share) =>
                string.Create(CultureInfo.InvariantCulture, $"{100 * rows.Min(share):0.0}-{100 * rows.Max(share):0.0}");
            string Error(int level) => (100 * rows.Max(r => r.Errors[level])).ToString("0.00", CultureInfo.InvariantCulture);
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"| {group.Key.Cell} | {group.Key.Method} | {rows[0].Samples:N0} | {Range(r => r.Shares[Most] - r.Shares[Least])} | {Range(r => r.Shares[Least])} ({Error(Least)}) | {Range(r => 1 - r.Shares[Most])} ({Error(Most)}) | {Range(r => r.Shares[Twentieth])} | {rows[0].None} |");
        }
    }

    /// <summary>Runs under several seeds as one, each weighing as many samples as had a prediction.</summary>
    private static CellResult Together(IReadOnlyList<CellResult> runs)
    {
        double all = runs.Sum(r => r.Samples - r.None);
        double[] Mean(Func<CellResult, int, double> of) =>
            [.. PredictionStudy.Levels.Select((_, level) => runs.Sum(r => (r.Samples - r.None) / all * of(r, level)))];
        return runs[0] with
        {
            Samples = runs.Sum(r => r.Samples),
            None = runs.Sum(r => r.None),
            Shares = Mean((r, level) => r.Shares[level]),
            Errors = [.. Mean((r, level) => (r.Samples - r.None) / all * r.Errors[level] * r.Errors[level]).Select(Math.Sqrt)],
        };
    }
}
