using Reliability.Plots.Probability;
using Reliability.Plots.Sheets;
using Reliability.Plots.Tests.Sheets;
using Xunit;

namespace Reliability.Plots.Tests.Probability;

public sealed class ProbabilityPlotTests
{
    [Fact]
    public void An_svg_holds_labels_ticks_notes_and_legend_as_text()
    {
        using TemporaryFile file = new("fit.svg");
        ProbabilityPlot.Save(HandbookSheet.Sheet(HandbookSheet.Cohort("New"), HandbookSheet.IntervalCohort("Refurbished")), file.Path);
        List<string> texts = [.. Svg.Texts(file.Path).Select(t => t.Text)];
        Assert.Contains("Handbook units, Weibull", texts);
        Assert.Contains("Run-hours", texts);
        Assert.Contains("Failed, %", texts);
        Assert.Contains("shape 1.7208", texts);
        Assert.Contains("New: fitted, 95 % bounds", texts);
        Assert.Contains("New: failed (Kaplan-Meier)", texts);
        Assert.Contains("Refurbished: fitted, 95 % bounds", texts);
        Assert.Contains("Refurbished: failed between two ages (Turnbull)", texts);
        foreach (string tick in (string[])["1", "10", "50", "90", "100", "1,000"])
            Assert.Contains(tick, texts);
    }

    [Fact]
    public void Ticks_stand_where_the_axes_put_them()
    {
        using TemporaryFile file = new("fit.svg");
        ProbabilityPlot.Save(HandbookSheet.Sheet(HandbookSheet.Cohort()), file.Path);
        IReadOnlyList<(string Text, double X, double Y)> texts = Svg.Texts(file.Path);
        double Y(string tick) => texts.Single(t => t.Text == tick && t.X < 120).Y;
        double X(string tick) => texts.Single(t => t.Text == tick && t.Y > 680).X;

        // On Weibull axes the way from 1 % to 10 % and from 10 % to 50 % is as of ln(-ln(1 - p)).
        double expected = (HandbookSheet.FractionPosition(.1) - HandbookSheet.FractionPosition(.01))
            / (HandbookSheet.FractionPosition(.5) - HandbookSheet.FractionPosition(.1));
        Assert.Equal(expected, (Y("1") - Y("10")) / (Y("10") - Y("50")), 3);
        Assert.True(Y("1") > Y("50"), "a larger fraction stands higher");

        // On a scale of logarithms equal ratios are equal ways.
        Assert.Equal(Math.Log2(10), (X("500") - X("50")) / (X("100") - X("50")), 3);
        Assert.True(X("500") > X("50"), "a greater age stands further right");
    }

    [Fact]
    public void A_png_has_its_size_and_its_text()
    {
        using TemporaryFile file = new("fit.png");
        ProbabilityPlot.Save(HandbookSheet.Sheet(HandbookSheet.Cohort()), file.Path);
        using SkiaSharp.SKBitmap picture = SkiaSharp.SKBitmap.Decode(file.Path);
        Assert.Equal((1100, 760), (picture.Width, picture.Height));

        // The words "Run-hours" are all there is along the lower edge; without a font nothing is.
        int dark = 0;
        for (int x = 0; x < picture.Width; x++)
        {
            for (int y = 735; y < 756; y++)
            {
                if (picture.GetPixel(x, y).Red < 128)
                    dark++;
            }
        }
        Assert.InRange(dark, 150, 3000);
    }

    [Fact]
    public void A_cohort_with_a_bound_but_no_estimate_is_drawn_and_said_so()
    {
        ProbabilityCohort cohort = HandbookSheet.Cohort("No failures");
        cohort = cohort with
        {
            Line = [.. cohort.Line.Select(point => point with { Position = null, LowerPosition = null })],
            Observed = [],
        };
        using TemporaryFile file = new("bound.svg");
        ProbabilityPlot.Save(HandbookSheet.Sheet(cohort), file.Path);
        Assert.Contains("No failures: 95 % bounds only, no estimate", Svg.Texts(file.Path).Select(t => t.Text));
    }

    [Fact]
    public void A_line_that_begins_far_below_anything_observed_is_cut_off()
    {
        ProbabilityCohort cohort = HandbookSheet.Cohort();
        FittedPoint far = new(0.5, Math.Log(0.5), 1.7208 * Math.Log(0.5 / 606.53), -13, -12);
        using TemporaryFile file = new("far.svg");
        ProbabilityPlot.Save(HandbookSheet.Sheet(cohort with { Line = [far, .. cohort.Line] }), file.Path);
        List<string> texts = [.. Svg.Texts(file.Path).Select(t => t.Text)];
        Assert.Contains("1", texts);
        Assert.DoesNotContain("0.1", texts);
        Assert.Contains("100", texts);
    }

    [Fact]
    public void A_line_that_goes_on_past_all_ticks_is_cut_off_at_the_top_too()
    {
        ProbabilityCohort cohort = HandbookSheet.Cohort();
        FittedPoint far = new(9_000, Math.Log(9_000), 1.7208 * Math.Log(9_000 / 606.53), 4, double.PositiveInfinity);
        using Sheet drawn = ProbabilityPlot.Draw(HandbookSheet.Sheet(cohort with { Line = [.. cohort.Line, far] }));

        double top = drawn.Plot.Axes.GetLimits().Top;
        Assert.InRange(top, HandbookSheet.FractionPosition(.999), HandbookSheet.FractionPosition(.999) + .5);
    }

    [Fact]
    public void A_band_whose_edge_has_gone_beyond_the_sheet_is_shaded_to_the_edge()
    {
        ProbabilityCohort cohort = HandbookSheet.Cohort();
        // A life model with a location gives a lower bound of 0 up to some age, and an upper one of 1 from some age on.
        List<FittedPoint> line = [.. cohort.Line.Select((point, i) => i switch
        {
            < 70 => point with { LowerPosition = double.NegativeInfinity },
            > 90 => point with { UpperPosition = double.PositiveInfinity },
            _ => point,
        })];
        using Sheet drawn = ProbabilityPlot.Draw(HandbookSheet.Sheet(cohort with { Line = line }));

        ScottPlot.AxisLimits sheet = drawn.Plot.Axes.GetLimits();
        ScottPlot.Coordinates[] band = Assert.Single(drawn.Plot.GetPlottables<ScottPlot.Plottables.Polygon>()).Coordinates;
        Assert.Equal(line[0].HoursPosition, band.Min(place => place.X));
        Assert.Equal(line[^1].HoursPosition, band.Max(place => place.X));
        Assert.True(band.Min(place => place.Y) < sheet.Bottom && band.Max(place => place.Y) > sheet.Top);
        Assert.All(band, place => Assert.True(double.IsFinite(place.Y)));
    }

    [Fact]
    public void Notes_lie_above_what_is_drawn()
    {
        // A line that is high from the left on, as of a mixture with early failures, under a box of five lines.
        ProbabilityCohort cohort = HandbookSheet.Cohort();
        cohort = cohort with { Line = [.. cohort.Line.Select(point => point with { Position = 1.2, LowerPosition = null, UpperPosition = null })] };
        string[] notes = [.. Enumerable.Range(1, 5).Select(i => $"shape-{i} 1.7208 (1.1 to 2.3)")];
        using Sheet drawn = ProbabilityPlot.Draw(HandbookSheet.Sheet(cohort) with { Notes = notes });
        drawn.Plot.GetImageBytes(Sheet.Width, Sheet.Height, ScottPlot.ImageFormat.Png);

        double line = drawn.Plot.GetPixel(new ScottPlot.Coordinates(cohort.Line[0].HoursPosition, 1.2)).Y;
        ScottPlot.Plottables.Annotation box = Assert.Single(drawn.Plot.GetPlottables<ScottPlot.Plottables.Annotation>());
        Assert.True(line > drawn.Plot.RenderManager.LastRender.DataRect.Top + box.OffsetY + 5 * 14, $"the line is at {line}");
    }

    [Fact]
    public void An_unknown_scale_of_hours_is_refused_by_name()
    {
        ProbabilitySheet sheet = HandbookSheet.Sheet(HandbookSheet.Cohort()) with { Axes = HandbookSheet.Axes("cube root") };
        PlotException refusal = Assert.Throws<PlotException>(() => ProbabilityPlot.Save(sheet, "fit.png"));
        Assert.Contains("\"cube root\"", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sheet_with_nothing_to_draw_is_refused()
    {
        ProbabilityCohort empty = HandbookSheet.Cohort() with { Line = [], Observed = [] };
        PlotException refusal = Assert.Throws<PlotException>(() => ProbabilityPlot.Save(HandbookSheet.Sheet(empty), "fit.png"));
        Assert.StartsWith("There is nothing to draw", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Only_png_and_svg_are_written()
    {
        PlotException refusal = Assert.Throws<PlotException>(() =>
            ProbabilityPlot.Save(HandbookSheet.Sheet(HandbookSheet.Cohort()), "fit.pdf"));
        Assert.Contains("fit.pdf", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void More_cohorts_than_can_be_told_apart_are_refused()
    {
        ProbabilityCohort[] cohorts = [.. Enumerable.Range(0, CohortStyle.Count + 1).Select(i => HandbookSheet.Cohort($"Cohort {i}"))];
        Assert.Throws<PlotException>(() => ProbabilityPlot.Save(HandbookSheet.Sheet(cohorts), "fit.svg"));
    }
}
