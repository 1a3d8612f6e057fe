namespace Reliability.Studies.BoundsCoverage;

/// <summary>The cells of the study.</summary>
internal static class Cells
{
    public static IReadOnlyList<Cell> All { get; } = [.. Listed.OrderBy(cell => cell.Failures)];

    private static IEnumerable<Cell> Listed =>
    [
        // The cells on which the method was first found.
        .. from failures in (int[])[5, 10, 20, 50]
           from censored in (double[])[0, 0.5, 0.9]
           from shape in (double[])[0.8, 2, 4]
           where shape == 2 || failures is 5 or 20
           select new Cell("weibull", StudyPlan.FailureTerminated, failures, censored, shape),
        .. from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered, StudyPlan.LateEntry]
           from failures in (int[])[5, 10, 20, 50]
           from censored in (double[])[0.5, 0.9]
           from shape in (double[])[0.8, 2, 4]
           where shape == 2 || failures is 5 or 20
           select new Cell("weibull", plan, failures, censored, shape),

        // Four failures or fewer under a plan by time.
        .. from censored in (double[])[0.5, 0.9]
           from plan in (StudyPlan[])[StudyPlan.TimeTerminated, StudyPlan.Staggered]
           select new Cell("weibull", plan, 3, censored, 2),

        // New ones: other shapes, fleets with removals at rated hours, intervals, other models.
        .. from plan in (StudyPlan[])[StudyPlan.FailureTerminated, StudyPlan.TimeTerminated, StudyPlan.Fleet]
           from failures in (int[])[5, 20]
           from shape in (double[])[0.5, 6]
           select new Cell("weibull", plan, failures, 0.5, shape),
        .. from failures in (int[])[5, 10, 30]
           from censored in (double[])[0.5, 0.8, 0.95]
           select new Cell("weibull", StudyPlan.Fleet, failures, censored, 2),
        .. from plan in (StudyPlan[])[StudyPlan.Inspected, StudyPlan.OwnInspections]
           from failures in (int[])[6, 12, 30]
           from censored in (double[])[0.5, 0.8]
           select new Cell("weibull", plan, failures, censored, 2),
        .. from model in (string[])["lognormal", "loglogistic"]
           from plan in (StudyPlan[])[StudyPlan.FailureTerminated, StudyPlan.TimeTerminated, StudyPlan.Staggered, StudyPlan.LateEntry]
           from failures in (int[])[6, 20]
           select new Cell(model, plan, failures, 0.5, 2),
    ];
}
