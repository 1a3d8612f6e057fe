using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;

namespace Reliability.Cli.Answers;

/// <summary>What a sample holds, in a few lines, so that the numbers beside it can be judged.</summary>
internal static class SampleSummaryText
{
    /// <summary>Writes the summary and the warnings about the record.</summary>
    public static void Write(Terminal terminal, SampleSummary? summary, string name = "Sample", bool withPolicy = true)
    {
        if (summary is null)
            return;
        foreach (string line in Lines(summary, name))
            terminal.Line(line);
        if (withPolicy && summary.OutcomePolicy is { Rules.Count: > 0 } policy)
        {
            terminal.Line($"  Removals taken to mean (table {policy.Version}): {Policy(policy)}.");
            terminal.Line($"  Low output that no measurement shows: {ContractWords.Of(policy.UnmeasuredLowOutputVerdict)}.");
        }
        terminal.Line();
        terminal.Warnings(summary.Warnings);
    }

    /// <summary>The lines.</summary>
    public static IEnumerable<string> Lines(SampleSummary summary, string name)
    {
        string modules = summary.HasModuleCount ? $" of {NumberText.Counted(summary.ModuleCount, "module", "modules")}" : "";
        yield return $"{name}: {NumberText.Counted(summary.LifeCount, "life", "lives")}{modules}: {NumberText.Count(summary.FailedCount)} failed, "
            + $"{NumberText.Count(summary.BetweenCount)} failed between two ages, {NumberText.Count(summary.SurvivedCount)} survived. "
            + $"{NumberText.Of(summary.TotalRunHours)} run-hours observed, oldest age {NumberText.Of(summary.OldestAgeHours)} h.";
        if (summary.LateEntryCount > 0)
            yield return $"  {NumberText.Count(summary.LateEntryCount)} came under observation at an age over 0.";
        if (summary.DataCutoffTime is not null)
            yield return $"  Nothing after {NumberText.Minute(summary.DataCutoffTime)} is used.";
        if (summary.HasMedianDaysSinceLastReading)
        {
            yield return $"  Last reading of those in service: {NumberText.Of(summary.MedianDaysSinceLastReading)} days before, "
                + $"at most {NumberText.Of(summary.GreatestDaysSinceLastReading)} (median, greatest).";
        }
        if (summary.ExcludedLives.Count > 0)
            yield return $"  Left out: {Reasons(summary.ExcludedLives)}.";
        if (summary.FlaggedLives.Count > 0)
            yield return $"  Flagged: {Reasons(summary.FlaggedLives)}.";
    }

    /// <summary>Counts by reason.</summary>
    public static string Reasons(IEnumerable<ReasonCount> reasons) =>
        string.Join(", ", reasons.Select(reason => $"{NumberText.Count(reason.Count)} {reason.Reason}"));

    private static string Policy(OutcomePolicy policy) => string.Join("; ", policy.Rules
        .GroupBy(rule => rule.Verdict)
        .OrderBy(group => group.Key)
        .Select(group => $"{ContractWords.Of(group.Key)}: {string.Join(", ", group.Select(Reason))}"));

    private static string Reason(OutcomeRule rule) =>
        rule.RemovalReason == RemovalReason.Unspecified ? "not stated" : ContractWords.Of(rule.RemovalReason);
}
