using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>How a life that is reported whole ended.</summary>
[JsonConverter(typeof(WordEnumConverter<ReportedOutcome>))]
public enum ReportedOutcome
{
    /// <summary>It survived so far: removed in working order, or still in service.</summary>
    Survived,

    /// <summary>It failed.</summary>
    Failed,
}
