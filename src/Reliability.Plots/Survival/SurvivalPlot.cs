using System.Globalization;
using Reliability.Plots.Sheets;
using ScottPlot;
using ScottPlot.Plottables;

namespace Reliability.Plots.Survival;

/// <summary>Draws survival estimated without a model as steps, with bounds.</summary>
public static class SurvivalPlot
{
    /// <summary>Draws a sheet into a file.</summary>
    /// <param name="sheet">What to draw.</param>
    /// <param name="file">Path ending in .png or .svg.</param>
    /// <exception cref="PlotException">
    /// There is nothing to draw, the machine has no font, or the file cannot be written.
    /// </exception>
    public static void Save(SurvivalSheet sheet, string file)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        SheetFile.Check(file);
        using Sheet drawn = Draw(sheet);
        drawn.Save(file);
    }

    /// <summary>Draws a sheet.</summary>
    internal static Sheet Draw(SurvivalSheet sheet)
    {
        double oldest = sheet.Cohorts.Select(Oldest).DefaultIfEmpty().Max();
        if (oldest <= 0)
            throw new PlotException("There is nothing to draw: the answer holds no age above 0.");
        Sheet drawn = new(sheet.Title, "Run-hours", "Surviving, %");
        for (int number = 0; number < sheet.Cohorts.Count; number++)
            Add(drawn.Plot, sheet.Cohorts[number], CohortStyle.Of(number), sheet.BoundsLabel);
        AxisRange horizontal = new(0, oldest * 1.03);
        AxisRange vertical = new(0, 104);
        drawn.SetAxes(horizontal, HoursLabels(horizontal), vertical, PercentLabels());
        drawn.Note(sheet.Notes, Alignment.UpperRight);
        drawn.ShowLegend(Alignment.LowerLeft);
        return drawn;
    }

    private static double Oldest(SurvivalCohort cohort) =>
        Math.Max(cohort.OldestAgeHours, cohort.Steps.Count > 0 ? cohort.Steps[^1].Hours : 0);

    private static void Add(Plot plot, SurvivalCohort cohort, CohortStyle style, string boundsLabel)
    {
        Coordinates[] lower = Steps(cohort, step => step.Lower);
        Coordinates[] upper = Steps(cohort, step => step.Upper);
        if (lower.Length > 1 && upper.Length > 1)
        {
            Polygon band = plot.Add.Polygon([.. lower, .. upper.Reverse()]);
            band.FillColor = style.Color.WithAlpha(.13);
            band.LineWidth = 0;
        }
        AddStretches(plot, cohort, style);
        Coordinates[] estimate = [new Coordinates(cohort.EarliestEntryHours, 100), .. Steps(cohort, step => step.Reliability, 100)];
        Scatter line = plot.Add.ScatterLine(estimate, style.Color);
        line.LineWidth = 2.4f;
        line.LinePattern = style.Line;
        line.LegendText = $"{cohort.Name}: {boundsLabel}";
    }

    // Where the estimate falls somewhere between two ages, every way down lies within a box.
    private static void AddStretches(Plot plot, SurvivalCohort cohort, CohortStyle style)
    {
        double before = 100;
        foreach (SurvivalStep step in cohort.Steps)
        {
            double after = (step.Reliability ?? 0) * 100;
            if (step.LowerHours is double lower)
            {
                Polygon box = plot.Add.Polygon(
                [
                    new(lower, before), new(step.Hours, before), new(step.Hours, after), new(lower, after),
                ]);
                box.FillColor = style.Color.WithAlpha(.13);
                box.LineWidth = 0;
            }
            before = after;
        }
    }

    // The corners of a step function; where a value does not exist the function ends.
    private static Coordinates[] Steps(SurvivalCohort cohort, Func<SurvivalStep, double?> value, double? before = null)
    {
        List<Coordinates> corners = [];
        double? height = before;
        bool ended = false;
        foreach (SurvivalStep step in cohort.Steps)
        {
            if (height is double old)
                corners.Add(new Coordinates(step.Hours, old));
            if (value(step) is not double fraction)
            {
                ended = height is not null;
                if (ended)
                    break;
                continue;
            }
            height = fraction * 100;
            corners.Add(new Coordinates(step.Hours, height.Value));
        }
        if (!ended && height is double last)
            corners.Add(new Coordinates(Oldest(cohort), last));
        return [.. corners];
    }

    private static IReadOnlyList<AxisLabel> HoursLabels(AxisRange range)
    {
        double step = RoundStep.For(range.Length, 10);
        return
        [
            .. Enumerable.Range(0, (int)Math.Floor(range.To / step) + 1)
                .Select(i => new AxisLabel(i * step, (i * step).ToString("#,0.##########", CultureInfo.InvariantCulture))),
        ];
    }

    private static IEnumerable<AxisLabel> PercentLabels() =>
        Enumerable.Range(0, 11).Select(i => new AxisLabel(i * 10, (i * 10).ToString(CultureInfo.InvariantCulture)));
}
