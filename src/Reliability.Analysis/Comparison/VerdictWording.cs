using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Words the verdict. It rests on the bounds of the B10 ratio, because B10 lies inside the data of most records where medians
/// and means do not.
/// </summary>
internal static class VerdictWording
{
    /// <summary>Up to this many failures in a cohort, bounds other than calibrated ones have been seen to hold less often than they say.</summary>
    private const double SmallFailureCount = 50;

    private const string LifeOnly = "This speaks of life only, not of electrical, optical or mechanical safety.";

    public static Verdict Of(
        IReadOnlyList<CohortAnswer> cohorts, Compared compared, CohortTest logRank, double confidenceLevel)
    {
        var (first, second) = (cohorts[0].Name, cohorts[1].Name);
        if (compared.B10Ratio is not { Value: { } value } ratio)
            return new(VerdictCode.NotComparable, $"{WhyNotComparable(cohorts, compared)}{LogRankSays(logRank)} {LifeOnly}");

        var bounds = $"{Words.Percent(confidenceLevel)} {Words.Of(MethodOf(compared, ratio))} bounds {Text(ratio.Lower)} to {Text(ratio.Upper)}";
        var measured = $"the B10 life of '{second}' is {Words.Number(value)} times that of '{first}' ({bounds})";
        var (code, says) = ratio switch
        {
            { Lower: > 1 } => (VerdictCode.SecondLonger, $"'{second}' lasts longer than '{first}', as far as B10 life shows: {measured}."),
            { Upper: < 1 } => (VerdictCode.SecondShorter, $"'{second}' lasts less long than '{first}', as far as B10 life shows: {measured}."),
            { Lower: null } or { Upper: null } => (
                VerdictCode.NotShown,
                $"It is not shown that the B10 lives of '{second}' and '{first}' differ: {measured}; a bound that could not be found shows nothing."
                + OtherwiseDiffer(logRank, compared, confidenceLevel)),
            _ => (
                VerdictCode.NotShown,
                $"These data cannot tell whether the B10 life of '{second}' is longer or shorter than that of '{first}': {measured}, and 1 lies within."
                + OtherwiseDiffer(logRank, compared, confidenceLevel)),
        };
        return new(code, $"{says}{CoverageSays(compared)} {LifeOnly}");
    }

    /// <summary>
    /// Adds the coverage to expect, where the ratio's bounds are not calibrated. Figures: our own simulation of single Weibull cohorts of 5
    /// to 50 failures, docs/validation/coverage.md, bounds of B10 life.
    /// </summary>
    public static void WarnOfCoverage(IReadOnlyList<CohortAnswer> cohorts, Compared compared, NoteCollector notes)
    {
        var small = cohorts.Where(c => c.Summary.FailedCount + c.Summary.BetweenCount <= SmallFailureCount).ToList();
        if (small.Count == 0 || Missed(compared) is not { } missed)
            return;
        notes.Warn(AnalysisWarningCodes.CoverageBelowNominal,
            $"{string.Join(" and ", small.Select(c => $"'{c.Name}' has {Words.Count(c.Summary.FailedCount + c.Summary.BetweenCount, "failure", "failures")}"))}. "
            + $"In samples of that size these bounds hold the truth less often than they say: {missed}. Take the verdict with that in mind.");
    }

    private static string CoverageSays(Compared compared) => Missed(compared) is { } missed
        ? $" In small samples such bounds hold the truth less often than they say: {missed}."
        : string.Empty;

    private static string? Missed(Compared compared)
    {
        if (compared.B10Ratio is not { } ratio || MethodOf(compared, ratio) is BoundsMethod.Calibrated)
            return null;
        var (method, most) = MethodOf(compared, ratio) == BoundsMethod.NormalApproximation ? ("normal-approximation", 20) : ("likelihood-ratio", 8);
        return $"a 95 % {method} bound of a B10 life missed on one side in up to {most} % of simulated samples of 5 to 50 failures, where 2.5 % is meant";
    }

    /// <summary>How the bounds of a ratio were really made: that of the fits, save where calibrated ones could not be had.</summary>
    private static BoundsMethod MethodOf(Compared compared, BoundedEstimate ratio)
    {
        var methods = compared.Fits.Select(f => f.TryGet(out var fit, out _) ? fit.BoundsMethod : BoundsMethod.LikelihoodRatio).ToList();
        return ratio.Notes.Any(note => note.Code == WarningCodes.BoundsByLikelihoodRatio)
            ? BoundsMethod.LikelihoodRatio
            : methods.Find(method => method != BoundsMethod.LikelihoodRatio);
    }

    private static string WhyNotComparable(IReadOnlyList<CohortAnswer> cohorts, Compared compared)
    {
        var reasons = cohorts
            .Select((c, i) => compared.Fits[i].NotEstimable is { } reason ? $"'{c.Name}' has no fit: {reason.Text}" : null)
            .OfType<string>().ToList();
        return reasons.Count > 0
            ? $"The lives cannot be compared by a fit. {string.Join(" ", reasons)}"
            : "The life model gives no ratio of B10 lives for these cohorts, so they cannot be compared by it.";
    }

    /// <summary>Lives may differ clearly at later ages while their early ends cannot be told apart.</summary>
    private static string OtherwiseDiffer(CohortTest logRank, Compared compared, double confidenceLevel)
    {
        var tests = compared.Tests.Where(t => t.Name == CohortTestNames.EqualLife).Prepend(logRank)
            .Where(t => t.PValue < 1 - confidenceLevel).Select(t => $"{t.Name} p-value {PValue(t.PValue!.Value)}").ToList();
        return tests.Count == 0
            ? string.Empty
            : $" Over all ages the lives do differ by {string.Join(" and ", tests)}: see the other ratios, and mind that they may rest on "
                + "ages that were not observed.";
    }

    private static string PValue(double p) => p < 0.001 ? "below 0.001" : p.ToString("0.###", CultureInfo.InvariantCulture);

    private static string LogRankSays(CohortTest logRank) => logRank.PValue is { } p
        ? $" The log-rank test, which needs no fit, gives a p-value of {PValue(p)} for no difference."
        : string.Empty;

    private static string Text(double? bound) => bound is { } b ? Words.Number(b) : "not known";
}
