using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>Whose hour meter it is.</summary>
[JsonConverter(typeof(WordEnumConverter<MeterOwner>))]
public enum MeterOwner
{
    /// <summary>The module carries the meter; it goes where the module goes.</summary>
    Module,

    /// <summary>The host device carries the meter; it counts for whatever module is fitted.</summary>
    Host,
}
