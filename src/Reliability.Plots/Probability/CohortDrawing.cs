using Reliability.Plots.Sheets;
using ScottPlot;
using ScottPlot.Plottables;

namespace Reliability.Plots.Probability;

/// <summary>Draws one cohort into a sheet: bounds first, the line over them, what was observed on top.</summary>
internal sealed class CohortDrawing(Plot plot, CohortStyle style, AxisRange horizontal, AxisRange vertical)
{
    private const float LineWidth = 2.4f;
    private const float BoundWidth = 1.1f;
    private const float BarWidth = 1.8f;
    private const int ManyBars = 30;

    /// <summary>Adds the cohort.</summary>
    public void Add(ProbabilityCohort cohort, string boundsLabel)
    {
        AddBounds(cohort.Line);
        AddBars(cohort);
        AddLine(cohort, boundsLabel);
        AddPoints(cohort);
        ExplainBars(cohort);
    }

    private void AddBounds(IReadOnlyList<FittedPoint> line)
    {
        List<FittedPoint> both = [.. line.Where(point => point is { LowerPosition: not null, UpperPosition: not null })];
        if (both.Count > 1)
        {
            Coordinates[] outline =
            [
                .. both.Select(point => At(point.HoursPosition, point.LowerPosition!.Value)),
                .. both.AsEnumerable().Reverse().Select(point => At(point.HoursPosition, point.UpperPosition!.Value)),
            ];
            Polygon band = plot.Add.Polygon(outline);
            band.FillColor = style.Color.WithAlpha(.13);
            band.LineWidth = 0;
        }
        bool alone = line.All(point => point.Position is null);
        AddBound(line, point => point.LowerPosition, alone);
        AddBound(line, point => point.UpperPosition, alone);
    }

    private void AddBound(IReadOnlyList<FittedPoint> line, Func<FittedPoint, double?> position, bool alone)
    {
        Coordinates[] places = Within(line, position);
        if (places.Length < 2)
            return;
        Scatter bound = plot.Add.ScatterLine(places, style.Color);
        bound.LineWidth = alone ? LineWidth : BoundWidth;
        bound.LinePattern = style.Line;
    }

    private void AddLine(ProbabilityCohort cohort, string boundsLabel)
    {
        Coordinates[] places = Within(cohort.Line, point => point.Position);
        bool bounded = cohort.Line.Any(point => point.LowerPosition.HasValue || point.UpperPosition.HasValue);
        if (places.Length > 1)
        {
            Scatter line = plot.Add.ScatterLine(places, style.Color);
            line.LineWidth = LineWidth;
            line.LinePattern = style.Line;
            Explain(cohort.Name + (bounded ? $": fitted, {boundsLabel}" : ": fitted"), LineWidth, style.Line, MarkerStyle.None);
        }
        else if (bounded)
        {
            Explain($"{cohort.Name}: {boundsLabel} only, no estimate", LineWidth, style.Line, MarkerStyle.None);
        }
    }

    private void AddPoints(ProbabilityCohort cohort)
    {
        Coordinates[] places =
        [
            .. cohort.Observed.Where(mark => mark.UpperHoursPosition is null)
                .Select(mark => new Coordinates(mark.HoursPosition, mark.Position)),
        ];
        if (places.Length == 0)
            return;
        Markers points = plot.Add.Markers(places, style.Marker, 9, style.Color);
        points.MarkerLineColor = style.Color;
        points.MarkerLineWidth = BarWidth;
        Explain($"{cohort.Name}: failed ({cohort.ObservedBy})", 0, LinePattern.Solid, points.MarkerStyle);
    }

    private void AddBars(ProbabilityCohort cohort)
    {
        List<ObservedFailure> bars = [.. cohort.Observed.Where(mark => mark.UpperHoursPosition.HasValue)];
        // Many bars lie over each other: they are drawn fainter, so that the line stays to be seen.
        Color color = bars.Count > ManyBars ? style.Color.WithAlpha(.45) : style.Color;
        float width = bars.Count > ManyBars ? 1.2f : BarWidth;
        foreach (ObservedFailure mark in bars)
        {
            // An age of 0 has no place on a scale of logarithms: the bar then comes in from the edge of the sheet.
            double from = mark.Hours > 0 ? horizontal.Clamp(mark.HoursPosition) : horizontal.From;
            LinePlot bar = plot.Add.Line(from, mark.Position, mark.UpperHoursPosition!.Value, mark.Position);
            bar.LineColor = color;
            bar.LineWidth = width;
            bar.MarkerShape = MarkerShape.VerticalBar;
            bar.MarkerSize = bars.Count > ManyBars ? 5 : 8;
            bar.MarkerColor = color;
            bar.MarkerLineWidth = width;
        }
    }

    private void ExplainBars(ProbabilityCohort cohort)
    {
        if (!cohort.Observed.Any(mark => mark.UpperHoursPosition.HasValue))
            return;
        MarkerStyle ends = new(MarkerShape.VerticalBar, 8, style.Color) { LineColor = style.Color, LineWidth = BarWidth };
        Explain($"{cohort.Name}: failed between two ages ({cohort.ObservedBy})", BarWidth, LinePattern.Solid, ends);
    }

    private void Explain(string text, float width, LinePattern pattern, MarkerStyle marker) =>
        plot.Legend.ManualItems.Add(new LegendItem
        {
            LabelText = text,
            LineColor = style.Color,
            LineWidth = width,
            LinePattern = pattern,
            MarkerStyle = marker,
        });

    // The drawing is cut off at the sheet's edge; the range is only kept from running to where numbers lose their digits.
    private Coordinates At(double hours, double position) =>
        new(hours, new AxisRange(vertical.From - 9 * vertical.Length, vertical.To + 9 * vertical.Length).Clamp(position));

    // Points outside the sheet are left out, but for the nearest one on each side, which carries the line to the edge.
    private Coordinates[] Within(IReadOnlyList<FittedPoint> line, Func<FittedPoint, double?> position)
    {
        List<Coordinates> places =
        [
            .. line.Where(point => position(point).HasValue)
                .Select(point => At(point.HoursPosition, position(point)!.Value)),
        ];
        return
        [
            .. places.Where((place, i) =>
                vertical.Holds(place.Y)
                || (i > 0 && vertical.Holds(places[i - 1].Y))
                || (i + 1 < places.Count && vertical.Holds(places[i + 1].Y))),
        ];
    }
}
