using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Lives;

namespace Reliability.Store.Records;

/// <summary>
/// A module's record as the log holds it, with the position of each event: what was recorded under all its ids, and what the
/// meters of its hosts showed.
/// </summary>
/// <param name="ModuleId">The module's primary id.</param>
/// <param name="Events">Its events, as they were recorded.</param>
internal sealed record StoredRecord(string ModuleId, IReadOnlyList<(long Position, RecordedEvent Event)> Events)
{
    /// <summary>Its other ids, in order.</summary>
    public IReadOnlyList<string> JoinedModules { get; init; } = [];

    /// <summary>Position of the last sheet that holds readings of its own; 0 when none does.</summary>
    public long SheetPosition { get; init; }

    /// <summary>Which names mean the same.</summary>
    public AliasTable Aliases { get; init; } = AliasTable.Empty;

    /// <summary>Position of the last of its own events.</summary>
    public long OwnPosition => Events.Where(stored => !HostRecord.Is(stored.Event.ModuleId)).Max(stored => stored.Position);

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

    /// <summary>The spellings that the record holds, as typed.</summary>
    public IReadOnlyList<Spelling> SpellingsNamed => RecordAliases.SpellingsIn(Events.Select(stored => stored.Event));

    /// <summary>A spelling with its kind, as rows hold it.</summary>
    public static string Word(Spelling spelling) => $"{Words.Of(spelling.Kind)}:{spelling.Text}";

    /// <summary>The record as it was typed.</summary>
    public ModuleRecord ToRecord() =>
        new(ModuleId, [.. Events.Select(stored => stored.Event)]) { JoinedModules = JoinedModules };
}
