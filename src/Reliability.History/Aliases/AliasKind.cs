using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Aliases;

/// <summary>What an alias is about.</summary>
[JsonConverter(typeof(WordEnumConverter<AliasKind>))]
public enum AliasKind
{
    /// <summary>Ids of modules: two ids are those of one module.</summary>
    Module,

    /// <summary>Spellings of a site.</summary>
    Site,

    /// <summary>Spellings of who repaired or refurbished.</summary>
    Refurbisher,

    /// <summary>Spellings of a host device's model.</summary>
    HostModel,
}
