using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>Something odd about an event or one of its readings. It is kept and shown, never a refusal.</summary>
[JsonConverter(typeof(WordEnumConverter<RecordOddity>))]
public enum RecordOddity
{
    /// <summary>A reading does not fit the others in order or in pace and is left out.</summary>
    ReadingLeftOut,

    /// <summary>Left-out readings fit each other: the meter may have been reset.</summary>
    SuspectedReset,

    /// <summary>A reading was taken where no meter counts for the module: outside every spell, or on another meter.</summary>
    ReadingNotUsed,

    /// <summary>A second report of one failure or removal shows a lower reading.</summary>
    LowerReadingInReport,

    /// <summary>Another report of the same life contradicts it.</summary>
    ConflictingReport,

    /// <summary>The age falls from an earlier report of the same life to this later one.</summary>
    FallingAge,

    /// <summary>A removal, failure or reading without an install before it.</summary>
    InstallMissing,

    /// <summary>Installed, worked on or retired while still fitted: a removal is missing.</summary>
    RemovalMissing,

    /// <summary>Installed after a failure with no repair between.</summary>
    InstalledAfterFailure,

    /// <summary>It happened after the module was retired.</summary>
    AfterRetirement,

    /// <summary>The module was registered before, with other content.</summary>
    RegisteredAgain,

    /// <summary>An output was measured in terms in which the model has no threshold.</summary>
    OutputNotComparable,

    /// <summary>Output rose again from below the threshold to above it; the low measurement does not end the life.</summary>
    OutputRecovered,

    /// <summary>The outcome stated and the reason stated contradict each other; the outcome counts.</summary>
    OutcomeContradictsReason,

    /// <summary>Two events have one id and say different things; the first in order of content counts.</summary>
    SameIdOtherBody,
}
