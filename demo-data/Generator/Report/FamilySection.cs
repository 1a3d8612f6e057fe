using Reliability.DemoData.Scenario;
using Reliability.V1;
using static Reliability.DemoData.Report.Quantity;

namespace Reliability.DemoData.Report;

/// <summary>New against refurbished modules of one family, beside the stated truth.</summary>
internal static class FamilySection
{
    /// <summary>Writes what the service answered.</summary>
    public static void Write(TextWriter output, Family family, CompareCohortsResponse answer)
    {
        output.WriteLine($"{family.DisplayName} ({family.ModelId}), rated {Number(family.RatedHours, 0)} h");
        output.WriteLine();
        foreach (var cohort in answer.Cohorts)
            output.WriteLine($"  {cohort.Name}: {SampleText.Of(cohort.SampleSummary)}");
        output.WriteLine();
        WriteFits(output, family, answer);
        if (answer.Cohorts.All(cohort => cohort.ResultCase == CohortResult.ResultOneofCase.Fit))
            WriteComparison(output, family, answer);
        output.WriteLine();
    }

    private static void WriteFits(TextWriter output, Family family, CompareCohortsResponse answer)
    {
        var table = new TextTable("quantity", "condition", "truth", "estimate", "lower 95 %", "upper 95 %", "holds truth");
        foreach (var quantity in Quantity.Of(family))
        {
            for (var condition = 0; condition < answer.Cohorts.Count; condition++)
            {
                var cohort = answer.Cohorts[condition];
                var truth = quantity.Truth(family.TruthFor(condition));
                var estimate = cohort.Fit is { } fit ? quantity.Estimate(fit) : null;
                table.Row(
                    quantity.Name,
                    cohort.Name,
                    Number(truth, quantity.Decimals),
                    Shown(estimate is { HasValue: true } ? estimate.Value : null, quantity.Decimals),
                    Shown(estimate is { HasLower: true } ? estimate.Lower : null, quantity.Decimals),
                    Shown(estimate is { HasUpper: true } ? estimate.Upper : null, quantity.Decimals),
                    Bounds.Word(estimate, truth));
            }
        }
        table.WriteTo(output);
        foreach (var cohort in answer.Cohorts.Where(cohort => cohort.NotEstimable is not null))
            output.WriteLine($"  {cohort.Name}: {cohort.NotEstimable.Text}");
    }

    private static void WriteComparison(TextWriter output, Family family, CompareCohortsResponse answer)
    {
        output.WriteLine();
        var table = new TextTable("refurbished over new", "truth", "estimate", "lower 95 %", "upper 95 %", "holds truth");
        foreach (var effect in answer.Effects)
        {
            var truth = Effects.Truth(effect.Name, family);
            table.Row(
                effect.Name,
                Number(truth, 3),
                Shown(effect.Estimate is { HasValue: true } ? effect.Estimate.Value : null, 3),
                Shown(effect.Estimate is { HasLower: true } ? effect.Estimate.Lower : null, 3),
                Shown(effect.Estimate is { HasUpper: true } ? effect.Estimate.Upper : null, 3),
                Bounds.Word(effect.Estimate, truth));
        }
        table.WriteTo(output);
        output.WriteLine();
        foreach (var test in answer.Tests)
            output.WriteLine($"  {test.Name}: {TestText(test)}");
        output.WriteLine($"  verdict: {answer.Verdict.Text}");
    }

    private static string TestText(CohortTest test) => test.HasPValue
        ? test.PValue < 0.0001 ? "p < 0.0001" : $"p = {Number(test.PValue, 4)}"
        : $"no answer: {test.NotEstimable?.Text}";

    private static string Shown(double? value, int decimals) => value is { } number ? Number(number, decimals) : "-";
}
