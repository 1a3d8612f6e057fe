namespace Reliability.Engine.Abstractions;

/// <summary>
/// An immutable, validated sample of lives, held as a structure of arrays of equal length. A row stands for
/// <see cref="Counts"/> identical lives; counts are used as weights and never expanded. Hours are run-hours of age.
/// Made by <see cref="LifeSampleBuilder"/>, which refuses rows that cannot be.
/// </summary>
public sealed class LifeSample
{
    private readonly LifeOutcome[] _outcomes;
    private readonly double[] _lower;
    private readonly double[] _upper;
    private readonly double[] _entries;
    private readonly double[] _counts;
    private readonly double[] _plannedEnds;
    private readonly int[] _failureModes;

    internal LifeSample(
        LifeOutcome[] outcomes, double[] lower, double[] upper, double[] entries, double[] counts, double[] plannedEnds,
        int[] failureModes, IReadOnlyList<string> failureModeNames)
    {
        _outcomes = outcomes;
        _lower = lower;
        _upper = upper;
        _entries = entries;
        _counts = counts;
        _plannedEnds = plannedEnds;
        _failureModes = failureModes;
        FailureModeNames = failureModeNames;
        var earliestEntry = outcomes.Length == 0 ? 0 : double.PositiveInfinity;
        for (var i = 0; i < outcomes.Length; i++)
        {
            switch (outcomes[i])
            {
                case LifeOutcome.Failed: FailedCount += counts[i]; break;
                case LifeOutcome.Survived: SurvivedCount += counts[i]; break;
                default: BetweenCount += counts[i]; break;
            }

            if (entries[i] > 0)
                HasLateEntry = true;
            earliestEntry = Math.Min(earliestEntry, entries[i]);
            if (counts[i] != 1)
                HasCounts = true;
            if (outcomes[i] != LifeOutcome.Survived)
                EarliestFailureHours = Math.Min(EarliestFailureHours, upper[i]);
            OldestHours = Math.Max(OldestHours, upper[i]);
        }

        EarliestEntryHours = earliestEntry;
    }

    /// <summary>A sample without rows.</summary>
    public static LifeSample Empty { get; } = new LifeSampleBuilder().Build();

    /// <summary>Number of rows, each standing for one or more lives.</summary>
    public int RowCount => _outcomes.Length;

    /// <summary>How each row ended; length <see cref="RowCount"/>.</summary>
    public ReadOnlySpan<LifeOutcome> Outcomes => _outcomes;

    /// <summary>Hours at failure, hours survived, or the lower end of the interval (exclusive); length <see cref="RowCount"/>.</summary>
    public ReadOnlySpan<double> LowerHours => _lower;

    /// <summary>Upper end of the interval (inclusive); equal to <see cref="LowerHours"/> for failed and survived rows.</summary>
    public ReadOnlySpan<double> UpperHours => _upper;

    /// <summary>Age in hours at which observation began; 0 when watched from the start; length <see cref="RowCount"/>.</summary>
    public ReadOnlySpan<double> EntryHours => _entries;

    /// <summary>Lives that a row stands for, above 0; length <see cref="RowCount"/>.</summary>
    public ReadOnlySpan<double> Counts => _counts;

    /// <summary>Age in hours at which a life would have been stopped had it not failed, NaN where not known.
    /// Empty when no row states it, else of length <see cref="RowCount"/>.</summary>
    public ReadOnlySpan<double> PlannedEndHours => _plannedEnds;

    /// <summary>
    /// How the failure of each row showed, as a place in <see cref="FailureModeNames"/>; negative for a survivor and where
    /// nobody knows. Empty when no row states it, else of length <see cref="RowCount"/>.
    /// </summary>
    public ReadOnlySpan<int> FailureModes => _failureModes;

    /// <summary>Names of the failure modes that some row states, in order of first mention; empty when none does.</summary>
    public IReadOnlyList<string> FailureModeNames { get; }

    /// <summary>Lives failed at a known age (sum of counts).</summary>
    public double FailedCount { get; }

    /// <summary>Lives that survived so far (sum of counts).</summary>
    public double SurvivedCount { get; }

    /// <summary>Lives failed between two ages (sum of counts).</summary>
    public double BetweenCount { get; }

    /// <summary>All lives (sum of counts).</summary>
    public double TotalCount => FailedCount + SurvivedCount + BetweenCount;

    /// <summary>Lives that failed, at a known age or between two (sum of counts).</summary>
    public double FailureCount => FailedCount + BetweenCount;

    /// <summary>Greatest age in hours in the sample, interval ends included; 0 for an empty sample.</summary>
    public double OldestHours { get; }

    /// <summary>Smallest age in hours by which a life had failed; positive infinity when none has.</summary>
    public double EarliestFailureHours { get; } = double.PositiveInfinity;

    /// <summary>Whether some row stands for other than one life.</summary>
    public bool HasCounts { get; }

    /// <summary>Whether some life failed between two ages.</summary>
    public bool HasIntervals => BetweenCount > 0;

    /// <summary>Whether some life entered observation at an age above 0.</summary>
    public bool HasLateEntry { get; }

    /// <summary>Least age in hours at which a life was under observation. Above 0 these lives say nothing of failures before it.</summary>
    public double EarliestEntryHours { get; }

    /// <summary>Appends the rows of several samples into one.</summary>
    /// <param name="samples">Samples, in order.</param>
    /// <returns>A sample of all their rows.</returns>
    public static LifeSample Concat(params IReadOnlyList<LifeSample> samples)
    {
        ArgumentNullException.ThrowIfNull(samples);
        var rows = samples.Sum(s => s.RowCount);
        var builder = new LifeSampleBuilder(rows);
        foreach (var sample in samples)
            builder.AddRange(sample);
        return builder.Build();
    }
}
