using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>Makes samples out of lives: excluded and flagged lives stay out and are counted.</summary>
public static class SampleLives
{
    /// <summary>Reason under which flagged lives that were left out are counted.</summary>
    public const string Flagged = "FLAGGED";

    /// <summary>Makes a sample of the lives of a cohort.</summary>
    /// <param name="lives">Lives derived as the selection says, of any cohort; those of others are passed over.</param>
    /// <param name="selection">Which lives.</param>
    /// <param name="now">
    /// The instant to which days since the last reading count, UTC; the cut-off, or the instant of the record asked for,
    /// when that is earlier.
    /// </param>
    /// <returns>The sample and its summary; both may be empty.</returns>
    public static CohortSample Build(IEnumerable<Life> lives, CohortSelection selection, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(lives);
        var sample = new CohortSampleBuilder(selection, now);
        foreach (var life in lives)
            sample.Add(life);
        return sample.Build();
    }
}
