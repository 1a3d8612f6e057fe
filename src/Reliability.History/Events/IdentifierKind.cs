using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>What kind of identifier a module is known by.</summary>
[JsonConverter(typeof(WordEnumConverter<IdentifierKind>))]
public enum IdentifierKind
{
    /// <summary>The maker's serial number.</summary>
    Serial,

    /// <summary>A unique device identifier.</summary>
    Udi,

    /// <summary>The hospital's asset number.</summary>
    Asset,
}
