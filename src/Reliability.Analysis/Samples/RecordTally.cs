using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// Counts what a sample should be judged by while it is being made. Thresholds of warnings are our own, no source: they only
/// decide when something is said.
/// </summary>
internal sealed class RecordTally
{
    private const double StaleMedianDays = 60, StaleGreatestDays = 365;
    private const double FlaggedShareToWarnOf = 0.05;
    private const double RepeatedShareToWarnOf = 0.2;

    private readonly SortedDictionary<string, long> _excluded = new(StringComparer.Ordinal);
    private readonly SortedDictionary<string, long> _flagged = new(StringComparer.Ordinal);
    private readonly HashSet<string> _modules = new(StringComparer.Ordinal);
    private readonly SortedSet<string> _models = new(StringComparer.Ordinal);
    private readonly List<DateTimeOffset> _lastReadings = [];
    private long _flaggedLives;
    private long _modeUnknown;
    private long _conflicting;
    private long _countable;

    public long AmbiguousCount { get; private set; }

    public void Exclude(string reason) => _excluded[reason] = _excluded.GetValueOrDefault(reason) + 1;

    /// <summary>Counts the life among those that could be in the sample, and says whether it is flagged.</summary>
    public bool Flag(in LifeInSample life)
    {
        _countable++;
        if (life.Ambiguities.Contains(LifeAmbiguity.ConflictingReports))
            _conflicting++;
        if (life.Flags.Count == 0)
            return false;
        _flaggedLives++;
        foreach (var reason in life.Flags.Distinct().Select(Words.Code))
            _flagged[reason] = _flagged.GetValueOrDefault(reason) + 1;
        return true;
    }

    /// <summary>Counts a life of the sample, and says whether its removal reason leaves open if it had failed.</summary>
    public bool Take(in LifeInSample life)
    {
        _modules.Add(life.ModuleId);
        _models.Add(life.ModelId);
        if (life.InService)
            _lastReadings.Add(life.EndTime);
        if (life.Ambiguities.Contains(LifeAmbiguity.FailureModeUnknown))
            _modeUnknown++;
        var ambiguous = life.Outcome?.Kind == OutcomeKind.Survived
            && (life.Ambiguities.Contains(LifeAmbiguity.UnmeasuredLowOutput)
                || life.Ambiguities.Contains(LifeAmbiguity.OtherReason));
        if (ambiguous)
            AmbiguousCount++;
        return ambiguous;
    }

    /// <summary>
    /// The summary as it reads at an instant, UTC. Only the days since the last readings hang on the instant; what is kept of them for
    /// that are three times, however many lives there are.
    /// </summary>
    public Func<DateTimeOffset, SampleSummary> Summarise(LifeSample sample, CohortSelection selection)
    {
        var readings = LastReadings.Of(_lastReadings);
        EngineWarning[] before = [.. WarningsBefore(selection)], after = [.. WarningsAfter(sample, selection)];
        var summary = SampleSummary.Of(sample) with
        {
            ModuleCount = _modules.Count,
            ExcludedLives = [.. _excluded.Select(e => new ReasonCount(e.Key, e.Value))],
            FlaggedLives = [.. _flagged.Select(e => new ReasonCount(e.Key, e.Value))],
            AmbiguousCount = AmbiguousCount,
            OutcomePolicy = selection.Derivation.OutcomePolicy,
            UnknownRenewalRenews = selection.Derivation.UnknownRenewalRenews,
            DataCutoffTime = selection.Derivation.DataCutoffTime,
            AsOfRecordTime = selection.AsOfRecordTime,
        };
        return now =>
        {
            var asOf = new[] { now, selection.Derivation.DataCutoffTime ?? now, selection.AsOfRecordTime ?? now }.Min();
            if (readings is null)
                return summary with { Warnings = [.. before, .. after] };
            var (median, greatest) = readings.DaysAt(asOf);
            return summary with
            {
                MedianDaysSinceLastReading = median,
                GreatestDaysSinceLastReading = greatest,
                Warnings = [.. before, .. Stale(median, greatest), .. after],
            };
        };
    }

    private static IEnumerable<EngineWarning> Stale(double median, double greatest)
    {
        if (median > StaleMedianDays || greatest > StaleGreatestDays)
        {
            yield return new(RecordWarningCodes.StaleReadings, string.Create(CultureInfo.InvariantCulture,
                $"Modules in service were last read {median:0} days ago in the middle case and "
                + $"{greatest:0} days ago at most. They count as survivors to that reading only; read the meters for sharper answers."));
        }
    }

    private IEnumerable<EngineWarning> WarningsBefore(CohortSelection selection)
    {
        if (_excluded.Count > 0)
        {
            var reasons = string.Join(", ", _excluded.Select(e => string.Create(CultureInfo.InvariantCulture, $"{e.Key} {e.Value:#,0}")));
            yield return new(RecordWarningCodes.ExcludedLives,
                $"{Words.Count(_excluded.Values.Sum(), "life was", "lives were")} left out: {reasons}.");
        }

        if (_excluded.GetValueOrDefault(Words.Code(LifeExclusion.ReportedBeyondCutoff)) is var beyond and > 0)
        {
            yield return new(RecordWarningCodes.CutoffBeforeReports,
                $"{Words.Count(beyond, "life", "lives")} went on at the cut-off, at an age that the row does not tell. Without them lives look "
                + "shorter than they are: take a cut-off no earlier than the last rows of the sheet.");
        }

        if (_flaggedLives > FlaggedShareToWarnOf * _countable)
        {
            yield return new(RecordWarningCodes.FlaggedShare,
                $"{Words.Count(_flaggedLives, "life", "lives")} of {_countable} rest on a reading that was left out or on reports "
                + $"that conflict; they are {(selection.IncludeFlagged ? "taken in" : "left out")}. Check the meters and the record.");
        }
    }

    private IEnumerable<EngineWarning> WarningsAfter(LifeSample sample, CohortSelection selection)
    {
        if (selection.Derivation.FailureMode is { } mode && sample is { RowCount: > 0, FailureCount: 0 })
        {
            yield return new(RecordWarningCodes.FailureModeNotSeen,
                $"None of these lives failed by the mode \"{mode}\". If that is not how the record spells it, every answer is far too good: check "
                + "the spelling.");
        }
        else if (selection.Derivation.FailureMode is { } one && sample.RowCount > 0)
        {
            yield return new(WarningCodes.IndependentModes,
                $"Failures otherwise than by the mode \"{one}\" count as survived so far: answers are of that mode as if the others were absent, which "
                + "supposes that modes work independently. The share that fails by it with the others at work is smaller: see the incidences by mode of a "
                + "survival estimate.");
        }

        if (AmbiguousCount > 0)
        {
            yield return new(RecordWarningCodes.AmbiguousReasons,
                $"{Words.Count(AmbiguousCount, "life was", "lives were")} removed for a reason that does not say whether the module had "
                + "failed, and count as survived. The outcome policy can read them the other way.");
        }

        if (_modeUnknown > 0)
        {
            yield return new(RecordWarningCodes.FailuresOfUnknownMode,
                $"{Words.Count(_modeUnknown, "failure has", "failures have")} no mode on record and count as survived so far, because the "
                + "question is of one mode.");
        }

        if (_conflicting > 0)
        {
            yield return new(RecordWarningCodes.ConflictingReports,
                $"Rows contradict each other on {Words.Count(_conflicting, "life", "lives")}. Look at the modules' records and retract the wrong rows.");
        }

        if (_models.Count > 1)
        {
            yield return new(RecordWarningCodes.SeveralModuleModels,
                $"Lives of {_models.Count} module models are taken together: {string.Join(", ", _models.Take(5))}"
                + (_models.Count > 5 ? " and others" : "") + ". What differs in kind has no common lifetime; ask for one model.");
        }

        if (sample.TotalCount - _modules.Count > RepeatedShareToWarnOf * sample.TotalCount)
        {
            yield return new(RecordWarningCodes.FewModules,
                $"{Words.Count(sample.TotalCount, "life comes", "lives come")} from {Words.Count(_modules.Count, "module", "modules")}. Lives of one "
                + "module may be alike, so bounds may be too narrow.");
        }
    }
}
