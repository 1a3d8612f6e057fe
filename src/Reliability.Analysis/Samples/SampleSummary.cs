using Reliability.Engine.Abstractions;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>What a sample holds, so that an answer can be judged.</summary>
public sealed record SampleSummary
{
    /// <summary>Lives in the sample.</summary>
    public double LifeCount => FailedCount + SurvivedCount + BetweenCount;

    /// <summary>Of these, failed at a known age.</summary>
    public required double FailedCount { get; init; }

    /// <summary>Of these, survived so far.</summary>
    public required double SurvivedCount { get; init; }

    /// <summary>Of these, failed between two known ages.</summary>
    public required double BetweenCount { get; init; }

    /// <summary>Of these, with an entry age over 0.</summary>
    public required double LateEntryCount { get; init; }

    /// <summary>Run-hours observed in all, from entry to the end; a life that failed between two ages counts to the lower.</summary>
    public required double TotalRunHours { get; init; }

    /// <summary>The oldest age observed, in run-hours.</summary>
    public required double OldestAgeHours { get; init; }

    /// <summary>Distinct modules; null for inline samples.</summary>
    public long? ModuleCount { get; init; }

    /// <summary>Median of the days since the last reading, over lives in service; null when there are none.</summary>
    public double? MedianDaysSinceLastReading { get; init; }

    /// <summary>Greatest of the days since the last reading, over lives in service; null when there are none.</summary>
    public double? GreatestDaysSinceLastReading { get; init; }

    /// <summary>Lives left out, by reason; flagged ones left out stand under <c>FLAGGED</c>.</summary>
    public IReadOnlyList<ReasonCount> ExcludedLives { get; init; } = [];

    /// <summary>Flagged lives, by reason, whether left out or taken in; one with two flags counts under both.</summary>
    public IReadOnlyList<ReasonCount> FlaggedLives { get; init; } = [];

    /// <summary>Lives whose removal reason does not say whether the module had failed; they count as the policy says.</summary>
    public long AmbiguousCount { get; init; }

    /// <summary>What removals were taken to mean; null for inline samples.</summary>
    public OutcomePolicy? OutcomePolicy { get; init; }

    /// <summary>Whether work of unknown extent was taken to renew the wearing part; null leaves out what follows it.</summary>
    public bool? UnknownRenewalRenews { get; init; }

    /// <summary>The cut-off used; null when there was none.</summary>
    public DateTimeOffset? DataCutoffTime { get; init; }

    /// <summary>The instant as of which the record was read; null when all that is on record was.</summary>
    public DateTimeOffset? AsOfRecordTime { get; init; }

    /// <summary>What should be known of the record behind the sample.</summary>
    public IReadOnlyList<EngineWarning> Warnings { get; init; } = [];

    /// <summary>The numbers that follow from the sample alone.</summary>
    internal static SampleSummary Of(LifeSample sample)
    {
        double hours = 0, late = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            hours += sample.Counts[i] * (sample.LowerHours[i] - sample.EntryHours[i]);
            if (sample.EntryHours[i] > 0)
                late += sample.Counts[i];
        }

        return new()
        {
            FailedCount = sample.FailedCount,
            SurvivedCount = sample.SurvivedCount,
            BetweenCount = sample.BetweenCount,
            LateEntryCount = late,
            TotalRunHours = hours,
            OldestAgeHours = sample.OldestHours,
        };
    }
}
