using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>The lives a question is asked of, and what they hold.</summary>
/// <param name="Sample">The lives, as the engine takes them.</param>
/// <param name="Summary">What the sample holds and what should be known of the record behind it.</param>
public sealed record CohortSample(LifeSample Sample, SampleSummary Summary)
{
    /// <summary>
    /// The same lives with every ambiguous removal taken as a failure at the age of removal; null when none is ambiguous.
    /// A verdict that changes with it hangs on the outcome policy.
    /// </summary>
    public LifeSample? IfAmbiguousFailed { get; init; }

    /// <summary>What it takes in memory, about: the columns of its rows, twice where some are ambiguous.</summary>
    public long SizeInBytes => (IfAmbiguousFailed is null ? 1 : 2) * (BytesOfAll + (long)Sample.RowCount * BytesOfARow);

    private const int BytesOfAll = 4096, BytesOfARow = 53;

    /// <summary>Rated hours in force at the start of every life; null when some life has none or they differ.</summary>
    public double? RatedHours { get; init; }

    /// <summary>The summary as it reads at another instant, UTC; null where no life is counted from a record.</summary>
    internal Func<DateTimeOffset, SampleSummary>? SummaryAt { get; init; }

    /// <summary>The same sample with the summary that it has at another instant: days since the last reading go on.</summary>
    /// <param name="now">The instant, UTC.</param>
    /// <returns>The sample.</returns>
    public CohortSample At(DateTimeOffset now) => SummaryAt is null ? this : this with { Summary = SummaryAt(now) };

    /// <summary>A sample that the caller gave with the request: nothing is known of a record behind it.</summary>
    /// <param name="sample">The lives.</param>
    /// <returns>The sample with its summary.</returns>
    public static CohortSample Inline(LifeSample sample)
    {
        ArgumentNullException.ThrowIfNull(sample);
        return new(sample, SampleSummary.Of(sample));
    }
}
