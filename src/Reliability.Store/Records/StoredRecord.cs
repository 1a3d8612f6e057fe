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

    public ModuleRecord ToRecord() => new(ModuleId, [.. Events.Select(stored => stored.Event)]);
}
