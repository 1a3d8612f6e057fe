using Reliability.Analysis;
using Reliability.Service.Events;

namespace Reliability.Service.Mapping;

/// <summary>What a sample holds.</summary>
internal static class SampleSummaryMapping
{
    public static V1.SampleSummary ToWire(SampleSummary summary)
    {
        var wire = new V1.SampleSummary
        {
            LifeCount = Whole(summary.LifeCount),
            FailedCount = Whole(summary.FailedCount),
            SurvivedCount = Whole(summary.SurvivedCount),
            BetweenCount = Whole(summary.BetweenCount),
            LateEntryCount = Whole(summary.LateEntryCount),
            TotalRunHours = summary.TotalRunHours,
            OldestAgeHours = summary.OldestAgeHours,
            DataCutoffTime = EventWire.Time(summary.DataCutoffTime),
            AsOfRecordTime = EventWire.Time(summary.AsOfRecordTime),
        };
        if (summary.ModuleCount is { } modules)
            wire.ModuleCount = modules;
        if (summary.MedianDaysSinceLastReading is { } median)
            wire.MedianDaysSinceLastReading = median;
        if (summary.GreatestDaysSinceLastReading is { } greatest)
            wire.GreatestDaysSinceLastReading = greatest;
        wire.ExcludedLives.AddRange(summary.ExcludedLives.Select(ToWire));
        wire.FlaggedLives.AddRange(summary.FlaggedLives.Select(ToWire));
        if (summary.OutcomePolicy is { } policy)
            wire.OutcomePolicy = PolicyMapping.ToWire(policy, summary.UnknownRenewalRenews);
        wire.Warnings.AddRange(EstimateMapping.ToWire(summary.Warnings));
        return wire;
    }

    public static V1.ReasonCount ToWire(ReasonCount reason) => new() { Reason = reason.Reason, Count = reason.Count };

    private static long Whole(double count) => (long)Math.Round(count);
}
