using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Store.Records;

/// <summary>A module's record as the log holds it, with the position of each event.</summary>
internal sealed record StoredRecord(string ModuleId, IReadOnlyList<(long Position, RecordedEvent Event)> Events)
{
    /// <summary>Position of the last event.</summary>
    public long Position => Events.Max(stored => stored.Position);

    /// <summary>Ids of all models that the record names.</summary>
    public IReadOnlyList<string> ModelsNamed =>
    [
        .. Events.Select(stored => stored.Event.Told().Body switch
            {
                RegisteredV1 registered => registered.Model,
                LifeReportedV1 reported => reported.Model,
                _ => null,
            })
            .OfType<string>().Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal),
    ];

    /// <summary>
    /// The record as it stood at an instant: without what was recorded later, and without the readings of hosts that belong
    /// to it only through installs recorded later. Empty when nothing of the module was on record by then.
    /// </summary>
    public StoredRecord AsOf(DateTimeOffset recordTime)
    {
        var recorded = Events.Where(stored => stored.Event.RecordTime <= recordTime).ToList();
        var hosts = HostRecord.KeysNamed(recorded.Select(stored => stored.Event)).ToHashSet(StringComparer.Ordinal);
        return this with
        {
            Events =
            [
                .. recorded.Where(stored =>
                    !HostRecord.Is(stored.Event.ModuleId) || hosts.Contains(stored.Event.ModuleId)),
            ],
        };
    }

    public ModuleRecord ToRecord() => new(ModuleId, [.. Events.Select(stored => stored.Event)]);
}
