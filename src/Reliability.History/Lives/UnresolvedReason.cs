using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>What an event waits for.</summary>
[JsonConverter(typeof(WordEnumConverter<UnresolvedReason>))]
public enum UnresolvedReason
{
    /// <summary>The module is not registered.</summary>
    ModuleNotRegistered,

    /// <summary>The module model is not in the catalogue.</summary>
    ModelUnknown,

    /// <summary>No install is recorded before it.</summary>
    InstallMissing,

    /// <summary>The event to retract or replace is not in this module's record.</summary>
    TargetMissing,

    /// <summary>The correction leads in a circle back to itself.</summary>
    TargetCircular,
}
