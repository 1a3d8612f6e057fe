using Reliability.Analysis;
using Reliability.History.Lives;
using Reliability.Service.Events;
using Reliability.Store.Lives;

namespace Reliability.Service.Mapping;

/// <summary>Lives as derived from records.</summary>
internal static class LifeMapping
{
    /// <summary>A life as it stands to a sample.</summary>
    /// <param name="stored">The life.</param>
    /// <param name="includeFlagged">Whether samples of the cohort take flagged lives in.</param>
    public static V1.Life ToWire(StoredLife stored, bool includeFlagged)
    {
        var life = stored.Life;
        var (reason, text) = Exclusion(life, includeFlagged);
        var wire = new V1.Life
        {
            Module = ResourceNames.Module(life.ModuleId),
            LifeNumber = life.Number,
            ModuleModel = ResourceNames.ModuleModel(life.ModelId),
            Condition = EventWire.ToWire(life.Condition),
            Site = life.Site ?? string.Empty,
            HostModel = life.HostModel ?? string.Empty,
            Lot = life.Lot ?? string.Empty,
            StartTime = EventWire.Time(life.StartTime),
            EndTime = EventWire.Time(life.EndTime),
            Observation = life.Outcome is { } outcome ? Observation(life, outcome) : null,
            InService = life.InService,
            RemovalReason = life.RemovalReason is { } removal
                ? Words.RemovalReasons.ToWire(removal) : V1.RemovalReason.Unspecified,
            ExclusionReason = reason,
            ExclusionText = text,
            TotalHoursBefore = ModuleMapping.Range(life.TotalHoursBefore),
            Revision = stored.Revision.ToString(),
        };
        wire.Flags.AddRange(life.Flags.Select(flag => ModuleMapping.Flag(flag, string.Empty, string.Empty)));
        return wire;
    }

    private static (string Reason, string Text) Exclusion(Life life, bool includeFlagged)
    {
        if (life.Exclusion is { } exclusion)
            return (Words.Code(exclusion), RecordTexts.Of(exclusion));
        if (life.Outcome is null)
            return (Words.Code(LifeExclusion.NoExposure), RecordTexts.Of(LifeExclusion.NoExposure));
        return life.IsFlagged && !includeFlagged ? (SampleLives.Flagged, RecordTexts.Flagged) : (string.Empty, string.Empty);
    }

    private static V1.LifeObservation Observation(Life life, LifeOutcome outcome)
    {
        var wire = new V1.LifeObservation
        {
            EntryHours = life.EntryHours,
            Count = 1,
            FailureMode = life.FailureMode ?? string.Empty,
            Group = ResourceNames.Module(life.ModuleId),
        };
        switch (outcome.Kind)
        {
            case OutcomeKind.Failed:
                wire.FailureHours = outcome.LowerHours;
                break;
            case OutcomeKind.Survived:
                wire.SurvivalHours = outcome.LowerHours;
                break;
            default:
                wire.FailureInterval = new() { LowerHours = outcome.LowerHours, UpperHours = outcome.UpperHours!.Value };
                break;
        }

        return wire;
    }
}
