using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>
/// What of the records of hosts belongs to a module: what its hosts' meters showed while it was fitted there and they counted
/// its hours. The rest of those records is of other modules, or of none.
/// </summary>
internal sealed class HostShare(IReadOnlyCollection<SpellDraft> spells)
{
    private readonly ILookup<string, SpellDraft> _spells = spells.Where(spell => spell.HostRecord is not null)
        .ToLookup(spell => spell.HostRecord!, StringComparer.Ordinal);

    /// <summary>The module's own events, and those of its hosts that belong to it with what takes them back.</summary>
    public IEnumerable<RecordedEvent> Of(List<RecordedEvent> events)
    {
        if (!events.Exists(recorded => HostRecord.Is(recorded.ModuleId)))
            return events;

        var named = new HashSet<(string, string, string)>();
        var corrections = new List<RecordedEvent>();
        foreach (var recorded in events.Where(recorded => HostRecord.Is(recorded.ModuleId)))
        {
            if (Belongs(recorded.Told()))
                named.Add(Name(recorded));
            else if (Corrections.NamedBy(recorded.Body) is not null)
                corrections.Add(recorded);
        }

        // A correction belongs to whom its target belongs to, and may be corrected itself.
        var found = 1;
        while (found > 0)
            found = corrections.RemoveAll(correction => named.Contains(Target(correction)) && named.Add(Name(correction)));
        return events.Where(recorded => !HostRecord.Is(recorded.ModuleId) || named.Contains(Name(recorded)));
    }

    private static (string Record, string Source, string Id) Target(RecordedEvent correction) =>
        Corrections.NamedBy(correction.Body) is var (source, id) ? (correction.ModuleId, source, id) : default;

    private static (string Record, string Source, string Id) Name(RecordedEvent recorded) =>
        (recorded.ModuleId, recorded.Source, recorded.OriginalId);

    private bool Belongs(RecordedEvent recorded) => _spells[recorded.ModuleId].Any(spell => recorded.Body switch
    {
        RunHoursReadV1 read => read.Readings.Any(reading => Touches(spell, reading.Earliest, reading.Latest)),
        MeterChangedV1 => Touches(spell, recorded.Occurrence.Earliest, recorded.Occurrence.Latest),
        _ => false,
    });

    private static bool Touches(SpellDraft spell, DateTimeOffset earliest, DateTimeOffset latest) =>
        latest >= spell.Start.Earliest && !(spell.End?.Latest <= earliest);
}
