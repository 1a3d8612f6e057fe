using Reliability.History.Lives;
using Reliability.Store.Revisions;

namespace Reliability.Store.Modules;

/// <summary>A module's whole record and all that follows from it.</summary>
/// <param name="Record">The record.</param>
/// <param name="Derived">State, lives, spells, readings, and the standing of each event.</param>
/// <param name="Revision">Position of its record's last event, and version of its model in the catalogue.</param>
public sealed record ModuleHistory(ModuleRecord Record, DerivedModule Derived, Revision Revision)
{
    /// <summary>The state alone, as lists show it.</summary>
    public StoredModule Summarise() => new(ModuleSummary.Of(Record, Derived), Revision);
}
