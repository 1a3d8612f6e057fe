using Reliability.Engine.Abstractions;
using Reliability.History.Lives;
using LifeOutcome = Reliability.History.Lives.LifeOutcome;

namespace Reliability.Analysis;

/// <summary>Makes samples out of lives: excluded and flagged lives stay out and are counted.</summary>
public static class SampleLives
{
    /// <summary>Reason under which flagged lives that were left out are counted.</summary>
    public const string Flagged = "FLAGGED";

    /// <summary>Makes a sample of the lives of a cohort.</summary>
    /// <param name="lives">Lives derived as the selection says, of any cohort; those of others are passed over.</param>
    /// <param name="selection">Which lives.</param>
    /// <param name="asOf">The instant to which days since the last reading count, UTC; the cut-off when that is earlier.</param>
    /// <returns>The sample and its summary; both may be empty.</returns>
    public static CohortSample Build(IEnumerable<Life> lives, CohortSelection selection, DateTimeOffset asOf)
    {
        ArgumentNullException.ThrowIfNull(lives);
        ArgumentNullException.ThrowIfNull(selection);
        if (selection.Derivation.DataCutoffTime is { } cutoff && cutoff < asOf)
            asOf = cutoff;

        var rows = new LifeSampleBuilder();
        var otherWay = new LifeSampleBuilder();
        var tally = new RecordTally();
        foreach (var life in lives)
        {
            if (!selection.Matches(life))
                continue;
            if (life.Exclusion is { } exclusion)
                tally.Exclude(Words.Code(exclusion));
            else if (life.Outcome is not { } outcome || !HasPlace(outcome, life.EntryHours))
                tally.Exclude(Words.Code(LifeExclusion.NoExposure));
            else if (tally.Flag(life) && !selection.IncludeFlagged)
                tally.Exclude(Flagged);
            else
            {
                var ambiguous = tally.Take(life, asOf);
                Add(rows, outcome, life.EntryHours);
                Add(otherWay, ambiguous ? LifeOutcome.Failed(outcome.LowerHours) : outcome, life.EntryHours);
            }
        }

        var sample = rows.Build();
        return new(sample, tally.Summarise(sample, selection))
        {
            IfAmbiguousFailed = tally.AmbiguousCount > 0 ? otherWay.Build() : null,
        };
    }

    /// <summary>Whether the engine's time axis has a place for the outcome: observed beyond its entry age.</summary>
    private static bool HasPlace(LifeOutcome outcome, double entryHours) => outcome.Kind switch
    {
        OutcomeKind.Between => outcome.LowerHours >= entryHours,
        _ => outcome.LowerHours > entryHours,
    };

    private static void Add(LifeSampleBuilder rows, LifeOutcome outcome, double entryHours)
    {
        switch (outcome.Kind)
        {
            case OutcomeKind.Failed:
                rows.AddFailed(outcome.LowerHours, entryHours);
                break;
            case OutcomeKind.Survived:
                rows.AddSurvived(outcome.LowerHours, entryHours);
                break;
            default:
                rows.AddBetween(outcome.LowerHours, outcome.UpperHours!.Value, entryHours);
                break;
        }
    }
}
