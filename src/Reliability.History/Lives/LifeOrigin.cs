using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>What a life was derived from.</summary>
[JsonConverter(typeof(WordEnumConverter<LifeOrigin>))]
public enum LifeOrigin
{
    /// <summary>A history of events.</summary>
    Events,

    /// <summary>A row that reports the whole life.</summary>
    Report,
}
