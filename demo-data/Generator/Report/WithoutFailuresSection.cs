using Reliability.DemoData.Scenario;
using Reliability.V1;
using static Reliability.DemoData.Report.Quantity;

namespace Reliability.DemoData.Report;

/// <summary>What a family without failures can tell: one-sided lower bounds for shapes taken as known.</summary>
internal static class WithoutFailuresSection
{
    /// <summary>The shapes that are taken as known.</summary>
    public static IReadOnlyList<double> Shapes { get; } = [1, 2, 3];

    /// <summary>Writes the bounds, one fit for each shape.</summary>
    public static void Write(
        TextWriter output, Family family, string site, IReadOnlyList<(double Shape, FitLivesResponse Answer)> fits)
    {
        output.WriteLine($"{family.DisplayName} ({family.ModelId}), rated {Number(family.RatedHours, 0)} h, only at {site}");
        output.WriteLine();
        output.WriteLine($"  {SampleText.Of(fits[0].Answer.SampleSummary)}");
        output.WriteLine("  There is no failure, so there is no estimate; with the shape taken as known there are lower bounds.");
        output.WriteLine();
        var table = new TextTable("quantity", "assumed shape", "truth", "lower 95 %, one-sided", "holds truth");
        foreach (var (shape, answer) in fits)
            AddRow($"reliability at {Number(family.RatedHours, 0)} h", 3, shape, family.New.Reliability(family.RatedHours), ReliabilityAt(answer.Fit, family.RatedHours));
        foreach (var (shape, answer) in fits)
            AddRow("B10 life, h", 0, shape, family.New.PercentileHours(0.10), Percentile(answer.Fit, 0.10));
        table.WriteTo(output);
        output.WriteLine($"  The lives were drawn with shape {Number(family.New.Shape, 1)}; nobody who keeps such records could know it.");
        output.WriteLine();

        void AddRow(string name, int decimals, double shape, double truth, Estimate? estimate) => table.Row(
            name,
            Number(shape, 1),
            Number(truth, decimals),
            estimate is { HasLower: true } ? Number(estimate.Lower, decimals) : "-",
            Bounds.Word(estimate, truth));
    }
}
