using Reliability.Engine.Abstractions;
using Reliability.History.Lives;
using LifeOutcome = Reliability.History.Lives.LifeOutcome;

namespace Reliability.Analysis;

/// <summary>
/// Makes a sample of lives handed over one after the other, keeping of each only what the sample and its summary need.
/// Excluded and flagged lives stay out and are counted. For one sample on one thread.
/// </summary>
public sealed class CohortSampleBuilder
{
    private readonly CohortSelection _selection;
    private readonly DateTimeOffset _now;
    private readonly LifeSampleBuilder _rows = new();

    // The same lives with ambiguous removals taken as failures; made when the first comes.
    private LifeSampleBuilder? _otherWay;
    private readonly RecordTally _tally = new();
    private double? _ratedHours;

    /// <summary>Begins a sample.</summary>
    /// <param name="selection">Which lives; those of other cohorts are passed over.</param>
    /// <param name="now">
    /// The instant to which days since the last reading count, UTC; the cut-off, or the instant of the record asked for,
    /// when that is earlier.
    /// </param>
    public CohortSampleBuilder(CohortSelection selection, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(selection);
        _selection = selection;
        _now = now;
    }

    /// <summary>Takes a life, derived as the selection says.</summary>
    /// <param name="life">The life.</param>
    public void Add(Life life)
    {
        ArgumentNullException.ThrowIfNull(life);
        if (_selection.Matches(life))
            Add(LifeInSample.Of(life));
    }

    /// <summary>Takes what a sample needs of a life that the selection selects, derived as it says.</summary>
    /// <param name="life">The life.</param>
    public void Add(in LifeInSample life)
    {
        if (life.Exclusion is { } exclusion)
            _tally.Exclude(Words.Code(exclusion));
        else if (life.Outcome is not { } outcome || !HasPlace(outcome, life.EntryHours))
            _tally.Exclude(Words.Code(LifeExclusion.NoExposure));
        else if (_tally.Flag(life) && !_selection.IncludeFlagged)
            _tally.Exclude(SampleLives.Flagged);
        else
        {
            _ratedHours = _rows.RowCount == 0 || _ratedHours == life.RatedHours ? life.RatedHours : null;
            var ambiguous = _tally.Take(life);
            if (ambiguous)
                _otherWay ??= new LifeSampleBuilder().AddRange(_rows.Build());
            Add(_rows, outcome, life);
            if (_otherWay is not null)
                Add(_otherWay, ambiguous ? LifeOutcome.Failed(outcome.LowerHours) : outcome, life);
        }
    }

    /// <summary>The sample and its summary; both may be empty.</summary>
    public CohortSample Build()
    {
        var sample = _rows.Build();
        var summaryAt = _tally.Summarise(sample, _selection);
        return new(sample, summaryAt(_now))
        {
            RatedHours = _ratedHours,
            IfAmbiguousFailed = _otherWay?.Build(),
            SummaryAt = summaryAt,
        };
    }

    /// <summary>Whether the engine's time axis has a place for the outcome: observed beyond its entry age.</summary>
    private static bool HasPlace(LifeOutcome outcome, double entryHours) => outcome.Kind switch
    {
        OutcomeKind.Between => outcome.LowerHours >= entryHours,
        _ => outcome.LowerHours > entryHours,
    };

    private void Add(LifeSampleBuilder rows, LifeOutcome outcome, in LifeInSample life)
    {
        // With one mode selected the others count as survived: what is left does not say how modes compete.
        var mode = _selection.Derivation.FailureMode is null ? life.FailureMode : null;
        switch (outcome.Kind)
        {
            case OutcomeKind.Failed:
                rows.AddFailed(outcome.LowerHours, life.EntryHours, failureMode: mode);
                break;
            case OutcomeKind.Survived:
                rows.AddSurvived(outcome.LowerHours, life.EntryHours);
                break;
            default:
                rows.AddBetween(outcome.LowerHours, outcome.UpperHours!.Value, life.EntryHours, failureMode: mode);
                break;
        }
    }
}
