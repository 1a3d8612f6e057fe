using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>Why a life does not enter any sample. It is counted by this reason in every answer.</summary>
[JsonConverter(typeof(WordEnumConverter<LifeExclusion>))]
public enum LifeExclusion
{
    /// <summary>The model of the module has not arrived in the catalogue.</summary>
    ModelUnknown,

    /// <summary>No install is recorded, and the hours cannot be had from the module's own meter.</summary>
    InstallMissing,

    /// <summary>The age at which observation began is unknown, or the life began before and it is not stated.</summary>
    EntryAgeUnknown,

    /// <summary>
    /// The record was opened when or after the outcome was known, by a source that does not say from when it lists every life.
    /// </summary>
    OpenedAfterOutcome,

    /// <summary>It ended before the date from which its source lists every life.</summary>
    EndedBeforeComplete,

    /// <summary>It follows a repair or refurbishment of which nobody knows whether it renewed the wearing part.</summary>
    RenewalUnknown,

    /// <summary>No reading shows it working, or failed, at an age beyond the one at which observation began.</summary>
    NoExposure,

    /// <summary>It is known to have failed, but no reading bounds the age.</summary>
    AgeUnknown,

    /// <summary>Reported whole, with an end after the data cut-off: its age at the cut-off is not known.</summary>
    ReportedBeyondCutoff,

    /// <summary>The outcome policy leaves this removal reason out.</summary>
    ExcludedByPolicy,
}
