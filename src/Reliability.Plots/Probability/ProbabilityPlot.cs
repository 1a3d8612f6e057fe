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
    private const double SmallestFraction = 0.01;
    private const double LargestFraction = 0.999;

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
        IReadOnlyList<string> notes = NoteLines.Wrapped(sheet.Notes);
        AxisRange vertical = Vertical(sheet);
        AxisRange horizontal = AxisRange.Around([.. sheet.Cohorts.SelectMany(cohort => HorizontalPositions(cohort, vertical))], 0.03);
        vertical = NoteLines.RoomAbove(notes, horizontal, vertical, [.. sheet.Cohorts.SelectMany(Drawn)]);
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
            drawn.Note(notes, Alignment.UpperLeft);
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

    private static IEnumerable<(double X, double Y)> Drawn(ProbabilityCohort cohort) =>
        cohort.Line.Where(point => point.Position.HasValue).Select(point => (point.HoursPosition, point.Position!.Value))
            .Concat(cohort.Observed.Select(mark => (mark.HoursPosition, mark.Position)));

    // Bars may begin far below any age of interest: they come in from the edge of the sheet then.
    private static IEnumerable<double> HorizontalPositions(ProbabilityCohort cohort, AxisRange vertical) =>
        cohort.Line.Where(point => new[] { point.Position, point.LowerPosition, point.UpperPosition }
                .Where(position => position.HasValue).Take(1).Any(position => vertical.Holds(position!.Value)))
            .Select(point => point.HoursPosition)
            .Concat(cohort.Observed.Where(mark => mark.UpperHoursPosition is null).Select(mark => mark.HoursPosition))
            .Concat(cohort.Observed.Where(mark => mark.UpperHoursPosition.HasValue).Select(mark => mark.UpperHoursPosition!.Value));

    // A line goes on without end towards fractions of 0 and 1: the sheet holds what was observed, and of the line what lies between
    // the smallest and the largest fraction anyone asks for.
    private static AxisRange Vertical(ProbabilitySheet sheet)
    {
        double[] observed = [.. sheet.Cohorts.SelectMany(cohort => cohort.Observed).Select(mark => mark.Position)];
        double[] drawn = [.. sheet.Cohorts.SelectMany(LinePositions), .. observed];
        if (drawn.Length == 0)
            throw new PlotException("There is nothing to draw: no fitted fraction has a place on the axes.");
        double smallest = sheet.Axes.FractionTicks.Where(tick => tick.Fraction <= SmallestFraction)
            .Select(tick => tick.Position).DefaultIfEmpty(double.NegativeInfinity).Max();
        double largest = sheet.Axes.FractionTicks.Where(tick => tick.Fraction >= LargestFraction)
            .Select(tick => tick.Position).DefaultIfEmpty(double.PositiveInfinity).Min();
        double least = Math.Max(drawn.Min(), Math.Min(smallest, observed.DefaultIfEmpty(double.PositiveInfinity).Min()));
        double greatest = Math.Min(drawn.Max(), Math.Max(largest, observed.DefaultIfEmpty(double.NegativeInfinity).Max()));
        return AxisRange.Around([.. drawn.Where(position => position >= least && position <= greatest), least, greatest], 0.05);
    }

    // The line decides; bounds may run far beyond it and are cut off. Where there is no line, the one bound is what there
    // is to see.
    private static IEnumerable<double> LinePositions(ProbabilityCohort cohort) =>
        (cohort.Line.Any(point => point.Position.HasValue)
            ? cohort.Line.Select(point => point.Position)
            : cohort.Line.SelectMany(point => new[] { point.LowerPosition, point.UpperPosition }))
        .OfType<double>().Where(double.IsFinite);
}
