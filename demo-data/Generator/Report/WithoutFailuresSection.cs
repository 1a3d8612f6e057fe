using Reliability.DemoData.Scenario;
using Reliability.V1;
using static Reliability.DemoData.Report.Quantity;

namespace Reliability.DemoData.Report;

/// <summary>What a family without failures can tell: one-sided lower bounds for shapes taken as known.</summary>
internal static class WithoutFailuresSection
{
    /// <summary>The shapes that are taken as known.</summary>
    public static IReadOnlyList<double> Shapes { get; } = [1, 2, 3];

    /// <summary>What has a lower bound that is worth saying.</summary>
    public static IReadOnlyList<Quantity> QuantitiesOf(Family family) =>
        [ReliabilityAtRatedHours(family), B10Life];

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
        foreach (var quantity in QuantitiesOf(family))
        {
            foreach (var (shape, answer) in fits)
            {
                var truth = quantity.Truth(family.New);
                var estimate = quantity.Estimate(answer.Fit);
                table.Row(
                    quantity.Name,
                    Number(shape, 1),
                    Number(truth, quantity.Decimals),
                    estimate is { HasLower: true } ? Number(estimate.Lower, quantity.Decimals) : "-",
                    Bounds.Word(estimate, truth));
            }
        }
        table.WriteTo(output);
        output.WriteLine($"  The lives were drawn with shape {Number(family.New.Shape, 1)}; nobody who keeps such records could know it.");
        output.WriteLine();
    }
}
