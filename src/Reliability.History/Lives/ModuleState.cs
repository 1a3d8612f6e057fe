using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>Where a module is in its life.</summary>
[JsonConverter(typeof(WordEnumConverter<ModuleState>))]
public enum ModuleState
{
    /// <summary>Events have come, but not its registration.</summary>
    Unregistered,

    /// <summary>On the shelf, its life not over.</summary>
    OnShelf,

    /// <summary>Fitted in a host device.</summary>
    InService,

    /// <summary>Failed and still fitted.</summary>
    FailedInPlace,

    /// <summary>Taken out, its life over; waiting for work or disposal.</summary>
    Removed,

    /// <summary>Out of use for good.</summary>
    Retired,
}
