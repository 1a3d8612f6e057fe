using Google.Protobuf.Collections;
using Reliability.Cli.Answers;
using Reliability.Cli.Fits;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Comparison;

/// <summary>Comparisons for people: the verdict first, then what it rests on.</summary>
internal static class ComparisonTables
{
    /// <summary>Writes a comparison.</summary>
    public static void Write(Terminal terminal, CompareCohortsResponse answer)
    {
        if (answer.Verdict is not null)
            terminal.Line($"Verdict ({ContractWords.Of(answer.Verdict.Code)}): {answer.Verdict.Text}");
        WriteCohorts(terminal, answer.Cohorts);
        WriteEffects(terminal, answer);
        WriteTests(terminal, answer.Tests);
        terminal.Warnings(answer.Warnings.Concat(answer.Cohorts.Where(cohort => cohort.Fit is not null).SelectMany(cohort => cohort.Fit.Warnings)));
        // Both cohorts are judged by the same table of removals: it is told once.
        foreach (CohortResult cohort in answer.Cohorts)
            SampleSummaryText.Write(terminal, cohort.SampleSummary, cohort.Name, withPolicy: cohort == answer.Cohorts[^1]);
    }

    private static void WriteCohorts(Terminal terminal, IReadOnlyList<CohortResult> cohorts)
    {
        foreach (CohortResult cohort in cohorts.Where(cohort => cohort.NotEstimable is not null))
            terminal.Line($"{cohort.Name}: no fit. {cohort.NotEstimable.Text} [{cohort.NotEstimable.Reason}]");
        List<CohortResult> fitted = [.. cohorts.Where(cohort => cohort.Fit is not null)];
        if (fitted.Count == 0)
            return;
        LifeFit first = fitted[0].Fit;
        // A cohort of few failures may have bounds of another kind than was meant for both.
        bool alike = fitted.TrueForAll(cohort => cohort.Fit.BoundsMethod == first.BoundsMethod);
        terminal.Line($"{FitTables.ModelName(first)} fits. " + (alike
            ? FitTables.Bounds(first.ConfidenceLevel, first.BoundsMethod)
            : $"{NumberText.Percent(first.ConfidenceLevel)} bounds: "
                + string.Join("; ", fitted.Select(cohort => $"of {cohort.Name} {FitTables.Method(cohort.Fit.BoundsMethod)}"))
                + "; one-sided at that level where only one side is bounded."));
        Table table = Tables.Of(["", .. fitted.Select(cohort => cohort.Name)]).Numbers([.. Enumerable.Range(1, fitted.Count)]);
        List<Dictionary<string, string>> columns = [.. fitted.Select(cohort => FitTables.Quantities(cohort.Fit)
            .ToDictionary(quantity => quantity.Quantity, quantity => EstimateText.Whole(quantity.Estimate)))];
        foreach (string quantity in columns.SelectMany(column => column.Keys).Distinct())
            table.Row([quantity, .. columns.Select(column => column.GetValueOrDefault(quantity, NumberText.Absent))]);
        terminal.Write(table);
    }

    private static void WriteEffects(Terminal terminal, CompareCohortsResponse answer)
    {
        if (answer.Effects.Count == 0)
            return;
        if (answer.Cohorts.Count == 2)
            terminal.Line($"Ratios, {answer.Cohorts[1].Name} over {answer.Cohorts[0].Name}:");
        Table table = Tables.Of("", "Estimate", "Lower", "Upper", "Bounded on").Numbers(1, 2, 3);
        foreach (CohortEffect effect in answer.Effects)
        {
            table.Row(effect.Name, EstimateText.Value(effect.Estimate), EstimateText.Lower(effect.Estimate), EstimateText.Upper(effect.Estimate),
                EstimateText.Side(effect.Estimate));
        }
        terminal.Write(table);
    }

    private static void WriteTests(Terminal terminal, RepeatedField<CohortTest> tests)
    {
        if (tests.Count == 0)
            return;
        terminal.Line("Tests of no difference:");
        Table table = Tables.Of("", "Statistic", "Degrees of freedom", "p-value").Numbers(1, 2, 3);
        foreach (CohortTest test in tests)
        {
            table.Row(test.Name, NumberText.Statistic(test.HasStatistic ? test.Statistic : null), NumberText.Count(test.DegreesOfFreedom),
                NumberText.PValue(test.HasPValue ? test.PValue : null));
        }
        terminal.Write(table);
        terminal.Reasons(tests.Where(test => test.NotEstimable is not null).Select(test => (test.Name, test.NotEstimable)));
    }
}
