using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>How exactly the time of an event is known.</summary>
[JsonConverter(typeof(WordEnumConverter<TimePrecision>))]
public enum TimePrecision
{
    /// <summary>To the instant.</summary>
    Instant,

    /// <summary>To a calendar day in a time zone.</summary>
    Day,
}
