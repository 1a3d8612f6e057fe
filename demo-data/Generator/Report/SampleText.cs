using System.Globalization;
using Reliability.V1;
using static Reliability.DemoData.Report.Quantity;

namespace Reliability.DemoData.Report;

/// <summary>A sample in words.</summary>
internal static class SampleText
{
    /// <summary>Counts by outcome, run-hours, and what was left out.</summary>
    public static string Of(SampleSummary sample)
    {
        var text = string.Create(
            CultureInfo.InvariantCulture,
            $"{sample.LifeCount} lives of {sample.ModuleCount} modules: {sample.FailedCount} failed, {sample.BetweenCount} failed between two ages, {sample.SurvivedCount} survived; {sample.LateEntryCount} entered late; {Number(sample.TotalRunHours, 0)} run-hours");
        var leftOut = sample.ExcludedLives.Select(reason => $"{reason.Count} {reason.Reason}").ToList();
        return leftOut.Count == 0 ? text : $"{text}; left out: {string.Join(", ", leftOut)}";
    }
}
