using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>How a life ended, in words.</summary>
[JsonConverter(typeof(WordEnumConverter<OutcomeKind>))]
public enum OutcomeKind
{
    /// <summary>Survived to a known age (right-censored).</summary>
    Survived,

    /// <summary>Failed at a known age.</summary>
    Failed,

    /// <summary>Failed between two known ages (interval-censored).</summary>
    Between,
}
