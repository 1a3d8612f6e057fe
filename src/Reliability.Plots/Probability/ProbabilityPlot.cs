using System.Globalization;
using Reliability.Plots.Sheets;
using ScottPlot;

namespace Reliability.Plots.Probability;

/// <summary>
/// Draws fitted lives on the model's own axes, where the fitted distribution is a straight line (Meeker and Escobar
/// 1998, ch. 6), with bounds and what was observed.
/// </summary>
public static class ProbabilityPlot
{
    // These are labelled first; others where there is room.
    private static readonly double[] ImportantPercents = [50, 10, 90, 1, 99, 5, 20, 0.1, 99.9, 2, 80, 30, 70];

    /// <summary>Draws a sheet into a file.</summary>
    /// <param name="sheet">What to draw.</param>
    /// <param name="file">Path ending in .png or .svg.</param>
    /// <exception cref="PlotException">
    /// There is nothing to draw, the machine has no font, or the file cannot be written.
    /// </exception>
    public static void Save(ProbabilitySheet sheet, string file)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        SheetFile.Check(file);
        using Sheet drawn = Draw(sheet);
        drawn.Save(file);
    }

    /// <summary>Draws a sheet.</summary>
    internal static Sheet Draw(ProbabilitySheet sheet)
    {
        HoursAxis hours = HoursAxis.From(sheet.Axes.HoursScale, sheet.Cohorts.SelectMany(Places));
        AxisRange horizontal = AxisRange.Around([.. sheet.Cohorts.SelectMany(HorizontalPositions)], 0.03);
        AxisRange vertical = AxisRange.Around([.. sheet.Cohorts.SelectMany(VerticalPositions)], 0.05);
        Sheet drawn = new(sheet.Title, "Run-hours", "Failed, %");
        try
        {
            for (int number = 0; number < sheet.Cohorts.Count; number++)
            {
                CohortDrawing drawing = new(drawn.Plot, CohortStyle.Of(number), horizontal, vertical);
                drawing.Add(sheet.Cohorts[number], sheet.BoundsLabel);
            }
            drawn.SetAxes(
                horizontal,
                TickSpacing.Keep(hours.Ticks(horizontal.From, horizontal.To), horizontal.Length * Sheet.HorizontalRoom),
                vertical,
                FractionLabels(sheet.Axes.FractionTicks, vertical));
            drawn.Note(sheet.Notes, Alignment.UpperLeft);
            drawn.ShowLegend(Alignment.LowerRight);
            return drawn;
        }
        catch
        {
            drawn.Dispose();
            throw;
        }
    }

    /// <summary>The labels of the axis of fractions that are in range and have room.</summary>
    internal static IReadOnlyList<AxisLabel> FractionLabels(IEnumerable<FractionTick> ticks, AxisRange range)
    {
        IEnumerable<AxisLabel> labels = ticks
            .Where(tick => range.Holds(tick.Position))
            .Select(tick => (Percent: Math.Round(tick.Fraction * 100, 10), tick.Position))
            .OrderBy(tick => Importance(tick.Percent))
            .Select(tick => new AxisLabel(tick.Position, tick.Percent.ToString("0.######", CultureInfo.InvariantCulture)));
        return TickSpacing.Keep(labels, range.Length * Sheet.VerticalRoom);
    }

    private static int Importance(double percent)
    {
        int place = Array.IndexOf(ImportantPercents, percent);
        return place < 0 ? int.MaxValue : place;
    }

    private static IEnumerable<(double Hours, double Position)> Places(ProbabilityCohort cohort) =>
        cohort.Line.Select(point => (point.Hours, point.HoursPosition))
            .Concat(cohort.Observed.Select(mark => (mark.Hours, mark.HoursPosition)));

    private static IEnumerable<double> HorizontalPositions(ProbabilityCohort cohort) =>
        cohort.Line.Select(point => point.HoursPosition)
            .Concat(cohort.Observed.Where(mark => mark.Hours > 0).Select(mark => mark.HoursPosition))
            .Concat(cohort.Observed.Where(mark => mark.UpperHoursPosition.HasValue).Select(mark => mark.UpperHoursPosition!.Value));

    // The line and the observations decide the range; bounds may run far beyond it and are cut off there. Where there is
    // no line, the one bound is what there is to see.
    private static IEnumerable<double> VerticalPositions(ProbabilityCohort cohort)
    {
        IEnumerable<double> line = cohort.Line.Any(point => point.Position.HasValue)
            ? cohort.Line.Where(point => point.Position.HasValue).Select(point => point.Position!.Value)
            : cohort.Line.SelectMany(point => new[] { point.LowerPosition, point.UpperPosition })
                .Where(position => position.HasValue).Select(position => position!.Value);
        return line.Concat(cohort.Observed.Select(mark => mark.Position));
    }
}
