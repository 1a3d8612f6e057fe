using Reliability.History.Lives;

namespace Reliability.Store.Modules;

/// <summary>A module's state, with what is odd in its record.</summary>
public sealed record ModuleSummary
{
    /// <summary>
    /// State, condition, place and age. Lives, spells, readings and standings of events are left out here.
    /// </summary>
    public required DerivedModule Module { get; init; }

    /// <summary>Other ids that were found to be the module's, in order; null when there are none.</summary>
    public IReadOnlyList<string>? JoinedModules { get; init; }

    /// <summary>The life that goes on; null when none does.</summary>
    public Life? CurrentLife { get; init; }

    /// <summary>How many lives it has on record, the present one and excluded ones included.</summary>
    public int LifeCount { get; init; }

    /// <summary>How many of its events wait for something that has not arrived.</summary>
    public int UnresolvedEventCount { get; init; }

    /// <summary>What is odd in its record, in the order in which the events count.</summary>
    public IReadOnlyList<OddEvent> OddEvents { get; init; } = [];

    /// <summary>The summary of a derived module.</summary>
    /// <param name="record">Its record.</param>
    /// <param name="derived">What was derived from it.</param>
    public static ModuleSummary Of(ModuleRecord record, DerivedModule derived)
    {
        var odd = derived.Events.Where(status => status.Flags.Count > 0).ToList();
        var events = odd.Count == 0
            ? []
            : record.Events.GroupBy(recorded => recorded.EventId).ToDictionary(group => group.Key, group => group.First());
        return new ModuleSummary
        {
            Module = derived with { Lives = [], Spells = [], Events = [], Usage = [], Continuation = null },
            JoinedModules = record.JoinedModules.Count > 0 ? record.JoinedModules : null,
            CurrentLife = derived.Lives.FirstOrDefault(life => life.Number == derived.CurrentLifeNumber),
            LifeCount = derived.Lives.Count,
            UnresolvedEventCount = derived.Events.Count(status => status.Standing == EventStanding.Unresolved),
            OddEvents =
            [
                .. odd.Select(status => new OddEvent(
                    events[status.EventId].Source, events[status.EventId].OriginalId, status.Flags)),
            ],
        };
    }
}
