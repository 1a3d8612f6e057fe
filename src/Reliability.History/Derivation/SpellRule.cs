using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>The spells of a record as others see them.</summary>
internal static class SpellRule
{
    /// <summary>Spells in order of time.</summary>
    /// <param name="outcomes">Phases with what the rules say of them, their lives numbered.</param>
    public static IReadOnlyList<Spell> Of(IEnumerable<PhaseOutcome> outcomes)
    {
        var spells = new List<Spell>();
        foreach (var (phase, ages, _, _, life) in outcomes)
        {
            foreach (var draft in phase.Spells)
            {
                var (start, end) = (ages.AtStart(draft), ages.AtEnd(draft));
                spells.Add(new()
                {
                    Number = spells.Count + 1,
                    LifeNumber = draft.AfterLife ? null : life?.Number,
                    HostDevice = draft.Install?.HostDevice,
                    Position = draft.Install?.Position,
                    Site = draft.Install?.Site,
                    HostModel = draft.Install?.HostModel,
                    Meter = draft.Meter,
                    StartTime = draft.Start.Earliest,
                    EndTime = draft.End?.Latest,
                    RemovalReason = draft.Removal?.Reason,
                    Failed = draft.FailureReport is not null,
                    Hours = new(
                        Math.Max(0, end.LowerHours - start.LowerHours),
                        Math.Max(0, AgeWalk.Upper(end) - AgeWalk.Upper(start))),
                });
            }
        }

        return spells;
    }
}
