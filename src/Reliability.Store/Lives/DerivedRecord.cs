using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Modules;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Store.Lives;

/// <summary>A module's record and what was derived from it.</summary>
/// <param name="Stored">The record with the positions of its events.</param>
/// <param name="Record">The record as it was typed.</param>
/// <param name="Derived">What follows from it.</param>
/// <param name="CatalogueVersion">Position of the last change of any model that the record names.</param>
/// <param name="Spellings">The spellings that the record holds.</param>
/// <param name="Aliases">What aliases do to it.</param>
internal sealed record DerivedRecord(
    StoredRecord Stored, ModuleRecord Record, DerivedModule Derived, long CatalogueVersion,
    IReadOnlyList<Spelling> Spellings, AliasesMet Aliases)
{
    /// <summary>
    /// Position of the last thing that it rests on: an event of its own, a reading of a host's meter that is its, or an
    /// alias in force.
    /// </summary>
    public long Position { get; } = Math.Max(Aliases.Position, Math.Max(Stored.OwnPosition, LastOfHosts(Stored, Derived)));

    public Revision Revision(string organisation) => new(organisation, Position, CatalogueVersion);

    public ModuleHistory ToHistory(string organisation) => new(Record, Derived, Revision(organisation));

    private static long LastOfHosts(StoredRecord stored, DerivedModule derived)
    {
        var ofHosts = stored.Events.Where(known => HostRecord.Is(known.Event.ModuleId)).ToList();
        if (ofHosts.Count == 0) return 0;
        var its = derived.Events.Select(status => status.EventId).ToHashSet();
        return ofHosts.Where(known => its.Contains(known.Event.EventId)).Max(known => (long?)known.Position) ?? 0;
    }
}
