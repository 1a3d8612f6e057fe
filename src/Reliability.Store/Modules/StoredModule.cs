using Reliability.Store.Revisions;

namespace Reliability.Store.Modules;

/// <summary>A module's state and the revision it was derived at.</summary>
/// <param name="Summary">The state.</param>
/// <param name="Revision">Position of its record's last event, and version of its model in the catalogue.</param>
public sealed record StoredModule(ModuleSummary Summary, Revision Revision);
