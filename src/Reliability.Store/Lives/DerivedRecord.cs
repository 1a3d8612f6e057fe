using Reliability.History.Lives;
using Reliability.Store.Modules;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Lives;

/// <summary>A module's record and what was derived from it.</summary>
/// <param name="Stored">The record with the positions of its events.</param>
/// <param name="Record">The record.</param>
/// <param name="Derived">What follows from it.</param>
/// <param name="CatalogueVersion">Position of the last change of any model that the record names.</param>
internal sealed record DerivedRecord(
    StoredRecord Stored, ModuleRecord Record, DerivedModule Derived, long CatalogueVersion)
{
    public Revision Revision(string organisation) => new(organisation, Stored.Position, CatalogueVersion);

    public ModuleHistory ToHistory(string organisation) => new(Record, Derived, Revision(organisation));
}
