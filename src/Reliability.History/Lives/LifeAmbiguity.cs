using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>A choice that could have given a life another outcome.</summary>
[JsonConverter(typeof(WordEnumConverter<LifeAmbiguity>))]
public enum LifeAmbiguity
{
    /// <summary>Removed for low output that no measurement shows: survived, or failed by output.</summary>
    UnmeasuredLowOutput,

    /// <summary>Removed for "any other reason", which may hide a failure.</summary>
    OtherReason,

    /// <summary>It failed by a mode nobody knows while one mode was asked for.</summary>
    FailureModeUnknown,

    /// <summary>Reports of it contradict each other.</summary>
    ConflictingReports,
}
