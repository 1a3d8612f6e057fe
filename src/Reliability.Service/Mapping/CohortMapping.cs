using Reliability.Analysis;
using Reliability.History.Catalogue;
using Reliability.Service.Events;
using Reliability.Store.Records;

namespace Reliability.Service.Mapping;

/// <summary>Cohorts: which lives, and how they are derived.</summary>
internal static class CohortMapping
{
    public static CohortSelection FromWire(V1.Cohort cohort) => new()
    {
        Models = [.. cohort.ModuleModels.Select(ResourceNames.Id)],
        ConditionClass = FromWire(cohort.ConditionClass),
        RefurbishmentCounts = [.. cohort.RefurbishmentCounts],
        Refurbishers = [.. cohort.Refurbishers],
        Sites = [.. cohort.Sites],
        HostModels = [.. cohort.HostModels],
        Lots = [.. cohort.Lots],
        EarliestStartTime = cohort.EarliestStartTime?.ToDateTimeOffset(),
        LatestStartTime = cohort.LatestStartTime?.ToDateTimeOffset(),
        Derivation = new()
        {
            DataCutoffTime = cohort.DataCutoffTime?.ToDateTimeOffset(),
            OutcomePolicy = PolicyMapping.FromWire(cohort.OutcomePolicy),
            UnknownRenewalRenews = cohort.OutcomePolicy is { HasUnknownRenewalRenews: true } policy
                ? policy.UnknownRenewalRenews : null,
            FailureMode = cohort.FailureMode.Length == 0 ? null : cohort.FailureMode,
        },
        AsOfRecordTime = cohort.AsOfRecordTime?.ToDateTimeOffset(),
        IncludeFlagged = cohort.IncludeFlagged,
    };

    /// <summary>The state of the record that a cohort is asked of, and how its lives are derived from it.</summary>
    public static RecordView View(CohortSelection selection) =>
        new() { Derivation = selection.Derivation, AsOfRecordTime = selection.AsOfRecordTime };

    /// <summary>A cohort as used. The policy stands in the sample summary and is not repeated here.</summary>
    public static V1.Cohort ToWire(CohortSelection selection)
    {
        var wire = new V1.Cohort
        {
            ConditionClass = ToWire(selection.ConditionClass),
            EarliestStartTime = EventWire.Time(selection.EarliestStartTime),
            LatestStartTime = EventWire.Time(selection.LatestStartTime),
            DataCutoffTime = EventWire.Time(selection.Derivation.DataCutoffTime),
            AsOfRecordTime = EventWire.Time(selection.AsOfRecordTime),
            FailureMode = selection.Derivation.FailureMode ?? string.Empty,
            IncludeFlagged = selection.IncludeFlagged,
        };
        wire.ModuleModels.AddRange(selection.Models.Select(ResourceNames.ModuleModel));
        wire.RefurbishmentCounts.AddRange(selection.RefurbishmentCounts);
        wire.Refurbishers.AddRange(selection.Refurbishers);
        wire.Sites.AddRange(selection.Sites);
        wire.HostModels.AddRange(selection.HostModels);
        wire.Lots.AddRange(selection.Lots);
        return wire;
    }

    public static ConditionClass FromWire(V1.ConditionClass condition) => condition switch
    {
        V1.ConditionClass.New => ConditionClass.New,
        V1.ConditionClass.Refurbished => ConditionClass.Refurbished,
        _ => ConditionClass.Any,
    };

    public static V1.ConditionClass ToWire(ConditionClass condition) => condition switch
    {
        ConditionClass.New => V1.ConditionClass.New,
        ConditionClass.Refurbished => V1.ConditionClass.Refurbished,
        _ => V1.ConditionClass.Unspecified,
    };
}
