using System.Globalization;
using Reliability.DemoData.Scenario;

namespace Reliability.Studies.DemoCoverage;

/// <summary>The study as a page of Markdown.</summary>
internal sealed class CoverageReport
{
    /// <summary>The least share of bounds that must hold the truth.</summary>
    public const double LeastShare = 0.90;

    private readonly int _networks;
    private readonly Dictionary<(string Family, string Condition), List<SampleSize>> _samples;
    private readonly List<((string Family, string Condition, string Quantity) Key, double Truth, CoverageTally Tally)> _rows = [];

    /// <summary>Counts over the networks in the order of their seeds.</summary>
    public CoverageReport(IReadOnlyList<NetworkCoverage> networks)
    {
        _networks = networks.Count;
        _samples = networks.SelectMany(network => network.Samples)
            .GroupBy(sample => (sample.Family, sample.Condition)).ToDictionary(group => group.Key, group => group.ToList());
        foreach (var group in networks.SelectMany(network => network.Results)
                     .GroupBy(result => (result.Family, result.Condition, result.Quantity)))
        {
            var tally = new CoverageTally();
            foreach (var result in group)
                tally.Add(result.Lower, result.Upper, result.Truth);
            _rows.Add((group.Key, group.First().Truth, tally));
        }
    }

    /// <summary>Quantities whose bounds hold the truth too seldom, in words.</summary>
    public IReadOnlyList<string> Short =>
    [
        .. _rows.Where(row => row.Tally.Share < LeastShare).Select(row => string.Create(
            CultureInfo.InvariantCulture,
            $"{row.Key.Family}, {row.Key.Condition}, {row.Key.Quantity}: {row.Tally.Held} of {_networks}")),
    ];

    /// <summary>Writes the page.</summary>
    public void WriteTo(TextWriter output, ulong firstSeed)
    {
        var least = _rows.MinBy(row => row.Tally.Share);
        Write(output, $"""
            # Do the demo's bounds hold the truth?

            The generator of the demo data was run with the seeds {firstSeed} to {firstSeed + (ulong)_networks - 1}, {_networks} networks in all. For each
            one the events and sheets were mapped and lives derived as the service does when they are posted (without the
            database between), and the questions of the demo were asked. This page counts how often the 95 % bounds held the
            stated truth. Required: at least {LeastShare * 100:0} % for each quantity that the demo prints.

            ```
            dotnet run -c Release --project tests/Reliability.Studies -- demo-coverage --seeds {_networks}
            ```

            The lowest share is {least.Tally.Share * 100:0.0} % ({least.Key.Family}, {least.Key.Condition}, {least.Key.Quantity}). With {_networks} networks a share of 95 % has
            a Monte Carlo standard error of {Math.Sqrt(0.95 * 0.05 / _networks) * 100:0.0} points. Quantities of one fit share its sample, so their shares move together.

            Calibrated bounds, two-sided; where the shape is taken as known and nothing failed, one-sided lower
            ones. "Truth below" and "truth above" count on which side the bounds missed. Where there were no bounds, that is
            counted as a miss.
            """);
        foreach (var family in _rows.GroupBy(row => row.Key.Family))
        {
            output.WriteLine();
            output.WriteLine($"## {family.Key}");
            output.WriteLine();
            foreach (var condition in family.Select(row => row.Key.Condition).Distinct().Where(condition => _samples.ContainsKey((family.Key, condition))))
                output.WriteLine($"- {condition}: {SampleText(_samples[(family.Key, condition)])}");
            output.WriteLine();
            output.WriteLine("| condition | quantity | truth | held | of | share | standard error | truth below | truth above | no bounds |");
            output.WriteLine("|---|---|--:|--:|--:|--:|--:|--:|--:|--:|");
            foreach (var (key, truth, tally) in family)
            {
                Write(output, $"""
                    | {key.Condition} | {key.Quantity} | {truth:#,0.###} | {tally.Held} | {_networks} | {tally.Share * 100:0.0} % | {tally.StandardError * 100:0.0} % | {tally.TruthBelow} | {tally.TruthAbove} | {tally.WithoutBounds} |
                    """);
            }
        }
        output.WriteLine();
        output.WriteLine("## The stated truth");
        output.WriteLine();
        foreach (var family in Network.Brindlemoor.Families)
        {
            Write(output, $"- {family.DisplayName}, new: shape {family.New.Shape}, scale {family.New.Scale:#,0} h.");
            if (family.Refurbished is { } truth)
                Write(output, $"- {family.DisplayName}, refurbished: shape {truth.Shape}, scale {truth.Scale:#,0} h.");
        }
    }

    private static void Write(TextWriter output, FormattableString text) =>
        output.WriteLine(text.ToString(CultureInfo.InvariantCulture).ReplaceLineEndings("\n"));

    private static string SampleText(List<SampleSize> samples) => string.Create(
        CultureInfo.InvariantCulture,
        $"{samples.Average(sample => sample.Lives):0} lives a network, {samples.Average(sample => sample.Failures):0.0} failures (least {samples.Min(sample => sample.Failures):0}), {samples.Average(sample => sample.LeftOut):0.0} left out");
}
