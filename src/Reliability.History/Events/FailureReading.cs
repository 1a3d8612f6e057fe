using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>What the reading and the time of a failure stand for.</summary>
[JsonConverter(typeof(WordEnumConverter<FailureReading>))]
public enum FailureReading
{
    /// <summary>The failure was found then; it happened at some time before.</summary>
    Discovery,

    /// <summary>The failure happened then.</summary>
    Moment,
}
