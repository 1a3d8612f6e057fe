using Reliability.Analysis;

namespace Reliability.Studies.DemoCoverage;

/// <summary>How large one sample was.</summary>
/// <param name="Family">Display name of the family.</param>
/// <param name="Condition">The cohort.</param>
/// <param name="Lives">Lives in it.</param>
/// <param name="Failures">Of these, failed at a known age or between two.</param>
/// <param name="LeftOut">Lives of the cohort that were left out.</param>
internal readonly record struct SampleSize(string Family, string Condition, double Lives, double Failures, double LeftOut)
{
    /// <summary>The size of a sample from its summary.</summary>
    public static SampleSize Of(string family, string condition, SampleSummary summary) => new(
        family,
        condition,
        summary.LifeCount,
        summary.FailedCount + summary.BetweenCount,
        summary.ExcludedLives.Sum(reason => (double)reason.Count));
}
