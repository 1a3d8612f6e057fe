using Reliability.History.Lives;

namespace Reliability.Service.Mapping;

/// <summary>What the codes of the record mean, in words for the reader of an answer.</summary>
internal static class RecordTexts
{
    public static string Of(RecordOddity oddity) => oddity switch
    {
        RecordOddity.ReadingLeftOut => "A reading does not fit the others in order or in pace and is left out.",
        RecordOddity.SuspectedReset => "Readings that were left out fit each other: the meter may have been reset.",
        RecordOddity.ReadingNotUsed => "The reading was taken where no meter counts for the module.",
        RecordOddity.LowerReadingInReport => "A second report of one failure or removal shows a lower reading.",
        RecordOddity.ConflictingReport => "Another report of the same life contradicts it.",
        RecordOddity.FallingAge => "The age falls from an earlier report of the same life to this one.",
        RecordOddity.InstallMissing => "No install is recorded before it.",
        RecordOddity.RemovalMissing => "The module was still fitted: a removal is missing.",
        RecordOddity.InstalledAfterFailure => "The module was installed after a failure with no repair between.",
        RecordOddity.AfterRetirement => "It happened after the module was retired.",
        RecordOddity.RegisteredAgain => "The module was registered before, with other content.",
        RecordOddity.OutputNotComparable => "The output was measured in terms in which the module model has no threshold.",
        RecordOddity.OutputRecovered => "The output rose again above the threshold; the low measurement does not end the life.",
        RecordOddity.OutcomeContradictsReason => "The outcome stated and the reason stated contradict each other; the outcome counts.",
        RecordOddity.SameIdOtherBody => "Two events have one id and say different things.",
        _ => "Something is odd about it.",
    };

    public static string Of(LifeExclusion exclusion) => exclusion switch
    {
        LifeExclusion.ModelUnknown => "The module model is not in the catalogue.",
        LifeExclusion.InstallMissing => "No install is recorded, and the hours cannot be had from the module's own meter.",
        LifeExclusion.EntryAgeUnknown => "The age at which observation began is unknown.",
        LifeExclusion.OpenedAfterOutcome =>
            "The record was opened when the outcome was known, by a source that does not say from when it lists every life.",
        LifeExclusion.EndedBeforeComplete => "It ended before the date from which its source lists every life.",
        LifeExclusion.RenewalUnknown => "It follows work of which nobody knows whether it renewed the wearing part.",
        LifeExclusion.NoExposure => "No reading shows it beyond the age at which observation began.",
        LifeExclusion.AgeUnknown => "It failed, but no reading bounds the age.",
        LifeExclusion.ReportedBeyondCutoff => "The row that reports it ends after the data cut-off, so nothing says how old it was then.",
        LifeExclusion.ExcludedByPolicy => "The outcome policy leaves this removal reason out.",
        _ => "It is left out.",
    };

    /// <summary>What is said of lives that rest on a reading that was left out.</summary>
    public const string Flagged = "Its entry, outcome or age rests on a reading that was left out, or reports of it conflict.";

    public static string Of(UnresolvedReason reason) => reason switch
    {
        UnresolvedReason.ModuleNotRegistered => "The module is not registered yet.",
        UnresolvedReason.ModelUnknown => "The module model is not in the catalogue yet.",
        UnresolvedReason.InstallMissing => "No install is recorded before it yet.",
        UnresolvedReason.TargetMissing => "The event to retract or replace is not in the record of this module yet.",
        UnresolvedReason.TargetCircular => "The correction leads in a circle back to itself.",
        _ => "Something it rests on has not arrived.",
    };

    public static string Of(EventStanding standing) => standing switch
    {
        EventStanding.Retracted => "It was retracted.",
        EventStanding.Replaced => "It was replaced: another event counts in its place.",
        EventStanding.Duplicate => "It reports what another event reports.",
        EventStanding.Superseded => "The module's events, or a later report, tell this life better.",
        EventStanding.LeftOut => "None of its readings fits the others.",
        EventStanding.Conflict => "It contradicts another event.",
        EventStanding.AfterCutoff => "It happened after the data cut-off.",
        _ => string.Empty,
    };
}
