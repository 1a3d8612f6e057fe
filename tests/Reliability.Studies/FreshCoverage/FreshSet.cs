using Reliability.Engine.Abstractions;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.FreshCoverage;

/// <summary>Cells run to look again at one thing that the study of coverage said or left open.</summary>
/// <param name="Name">What it is called, in names of files and on the page.</param>
/// <param name="Method">The kind of bounds.</param>
/// <param name="Samples">Samples a cell.</param>
/// <param name="Cells">The cells.</param>
/// <param name="Quantities">The quantities; all when null.</param>
/// <param name="ExactFailures">Count only samples with so many failures; null for two or more.</param>
internal sealed record FreshSet(
    string Name, BoundsMethod Method, int Samples, IReadOnlyList<Cell> Cells, IReadOnlyList<string>? Quantities = null, int? ExactFailures = null)
{
    /// <summary>Does CALIBRATION_LIMITED mark what it should? Other sizes, shares and shapes than those its limit was set on.</summary>
    /// <remarks>In an order that has nothing to do with what they are, so that those done first are a fair part of all.</remarks>
    public static FreshSet Limit { get; } = new("limit", BoundsMethod.Calibrated, 4000, [.. LimitCells.OrderBy(cell => Mixed(cell.Name))]);

    /// <summary>What bounds there are with exactly one failure: by likelihood ratio, said so.</summary>
    public static FreshSet OneFailure { get; } = new(
        "one-failure", BoundsMethod.Calibrated, 4000,
        [
            .. from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered]
               from censored in (double[])[0.8, 0.95]
               select new Cell("weibull", plan, 1, censored, 2),
        ],
        ExactFailures: 1);

    /// <summary>The mean of a loglogistic, now that the signed root is simulated where r* gives no bound.</summary>
    public static FreshSet LoglogisticMean { get; } = new(
        "loglogistic-mean", BoundsMethod.Calibrated, 400,
        [
            .. from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered, StudyPlan.LateEntry]
               select new Cell("loglogistic", plan, 6, 0.5, 2),
        ],
        ["mean"]);

    /// <summary>Exact bounds of a larger failure-terminated sample, with more samples.</summary>
    public static FreshSet Exact { get; } = new(
        "exact", BoundsMethod.Exact, 10_000,
        [new("weibull", StudyPlan.FailureTerminated, 20, 0.5, 2), new("weibull", StudyPlan.FailureTerminated, 5, 0.5, 2)],
        ["shape", "scale", "B10"]);

    /// <summary>Where calibrated bounds are likelihood-ratio bounds moved by one step: 1,000 rows and 50 failures or more.</summary>
    public static FreshSet OneStep { get; } = new(
        "one-step", BoundsMethod.Calibrated, 1000,
        [
            .. from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered, StudyPlan.Fleet]
               select new Cell("weibull", plan, 70, 0.95, 2),
        ]);

    /// <summary>Calibrated bounds of failure-terminated samples smaller than those of the study.</summary>
    public static FreshSet FewToFailure { get; } = new(
        "few-to-failure", BoundsMethod.Calibrated, 4000,
        [
            .. from failures in (int[])[2, 3, 4]
               from censored in (double[])[0, 0.5, 0.9]
               select new Cell("weibull", StudyPlan.FailureTerminated, failures, censored, 2),
        ]);

    public static IReadOnlyList<FreshSet> All { get; } = [Exact, OneFailure, FewToFailure, LoglogisticMean, OneStep, Limit];

    private static IEnumerable<Cell> LimitCells =>
    [
        .. from failures in (int[])[4, 6, 9, 12]
           from censored in (double[])[0.3, 0.6, 0.75, 0.9]
           from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered, StudyPlan.LateEntry, StudyPlan.Fleet]
           select new Cell("weibull", plan, failures, censored, ((int)plan + (int)(100 * censored) / 15) % 2 == 0 ? 1.2 : 3),
        .. from model in (string[])["lognormal", "loglogistic"]
           from failures in (int[])[5, 8]
           from censored in (double[])[0.4, 0.8]
           from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered]
           select new Cell(model, plan, failures, censored, 2.5),
    ];

    /// <summary>FNV-1a of a name, which puts names in an order of no meaning and the same everywhere.</summary>
    private static uint Mixed(string name) => name.Aggregate(2166136261u, (hash, letter) => unchecked((hash ^ letter) * 16777619u));
}
