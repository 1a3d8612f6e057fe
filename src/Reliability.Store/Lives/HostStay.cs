using Reliability.History.Events;

namespace Reliability.Store.Lives;

/// <summary>That a module was fitted in a host while the host's meter counted, and in which time all its spells there lie.</summary>
/// <param name="Host">Key of the host's record.</param>
/// <param name="Module">The module.</param>
/// <param name="From">When the first can have begun, UTC; null when what was recorded makes no spell.</param>
/// <param name="To">When the last can have ended, UTC; null while one goes on.</param>
internal sealed record HostStay(string Host, string Module, DateTimeOffset? From, DateTimeOffset? To)
{
    /// <summary>A module's stays, one a host.</summary>
    public static IEnumerable<HostStay> Of(DerivedRecord record)
    {
        var spells = record.Derived.Spells.Where(spell => spell is { Meter: MeterOwner.Host, HostDevice: not null })
            .ToLookup(spell => HostRecord.Key(spell.HostDevice!), StringComparer.Ordinal);
        return HostRecord.KeysNamed(record.Record.Events).Select(host => new HostStay(
            host,
            record.Record.ModuleId,
            spells[host].Min(spell => (DateTimeOffset?)spell.StartTime.ToUniversalTime()),
            spells[host].Any(spell => spell.EndTime is null) ? null : spells[host].Max(spell => spell.EndTime?.ToUniversalTime())));
    }
}
