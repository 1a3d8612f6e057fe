using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Analysis.Tests.Fits;

public sealed class FitDrawingTests
{
    private static readonly FitLives Fits = new(BuiltInLifeModels.CreateCatalog());

    private static FitAnswer Draw(LifeSample sample, string? model = null, BoundsMethod? bounds = null) =>
        Fits.Answer(CohortSample.Inline(sample), new() { IncludePlot = true, LifeModel = model, BoundsMethod = bounds }, TestContext.Current.CancellationToken).Value;

    [Theory]
    [InlineData("weibull", "weibull")]
    [InlineData("lognormal", "normal")]
    [InlineData("exponential", "exponential")]
    public void The_fitted_line_is_straight_on_its_own_axes(string model, string fractionScale)
    {
        var plot = Draw(Published.Nist(), model).Plot!;

        Assert.Equal(fractionScale, plot.Axes.FractionScale);
        var (first, last) = (plot.Line[0], plot.Line[^1]);
        var slope = (last.AxisFraction - first.AxisFraction) / (last.AxisHours - first.AxisHours);
        Assert.All(plot.Line, p => Assert.Equal(
            first.AxisFraction!.Value + (slope!.Value * (p.AxisHours - first.AxisHours)), p.AxisFraction!.Value, 1e-6));
        Assert.All(plot.Line, p => Assert.True(p.AxisLower < p.AxisFraction && p.AxisFraction < p.AxisUpper));
        Assert.NotEmpty(plot.Axes.FractionTicks);
        Assert.NotEmpty(plot.Axes.HoursTicks);
    }

    [Theory]
    [InlineData("weibull3")]
    [InlineData("gamma")]
    [InlineData("weibull-mixture2")]
    [InlineData("generalized-gamma")]
    public void Where_the_line_is_not_straight_its_pieces_lie_within_half_a_pixel_of_it(string model)
    {
        var sample = Late();
        var life = BuiltInLifeModels.CreateCatalog().Models.Single(m => m.Description.Id == model)
            .Fit(sample, new() { BoundsMethod = BoundsMethod.NormalApproximation }, TestContext.Current.CancellationToken).Value;
        var axes = life.Model.Plot;
        var plot = Draw(sample, model, BoundsMethod.NormalApproximation).Plot!;

        // What a sheet of 1000 by 650 shows: from 1 % to 99.9 %.
        var (bottom, top) = (axes.FractionToAxis(0.01), axes.FractionToAxis(0.999));
        double X(double position) => position * 1000 / (plot.Line[^1].AxisHours - axes.HoursToAxis(life.PercentileLife(0.01, TestContext.Current.CancellationToken).Value!.Value));
        double Y(double position) => (position - bottom) * 650 / (top - bottom);
        var looked = 0;
        foreach (var (a, b) in plot.Line.Zip(plot.Line.Skip(1)).Where(p => p.First.AxisFraction.HasValue && p.Second.AxisFraction.HasValue))
        {
            var slope = (Y(b.AxisFraction!.Value) - Y(a.AxisFraction!.Value)) / (X(b.AxisHours) - X(a.AxisHours));
            for (var part = 0.25; part < 1; part += 0.25)
            {
                var place = a.AxisHours + (part * (b.AxisHours - a.AxisHours));
                var fraction = 1 - life.Reliability(axes.AxisToHours(place), TestContext.Current.CancellationToken).Value!.Value;
                if (fraction is < 0.01 or > 0.999)
                    continue;
                var off = Y(axes.FractionToAxis(fraction)) - Y(a.AxisFraction.Value) - (slope * (X(place) - X(a.AxisHours)));
                Assert.InRange(Math.Abs(off) / Math.Sqrt(1 + (slope * slope)), 0, 0.5);
                looked++;
            }
        }

        Assert.True(looked > 30, $"only {looked} places");
        Assert.InRange(plot.Line.Count, 41, 400);
    }

    [Fact]
    public void A_line_with_a_location_runs_down_to_the_smallest_fraction_of_the_sheet()
    {
        var line = Draw(Late(), "weibull3", BoundsMethod.NormalApproximation).Plot!.Line;

        // A point below 1 %, no further from the first one above than a thousandth of the sheet's width.
        var i = line.ToList().FindIndex(p => p.FailedFraction.Value > 0.01);
        Assert.InRange(line[i - 1].FailedFraction.Value!.Value, 0, 0.01);
        Assert.True(line[i - 1].FailedFraction.Value == 0 || line[i].AxisHours - line[i - 1].AxisHours < 0.01);
    }

    /// <summary>50 lives of 800 h and a Weibull life (shape 1.6, scale 600 h) on top, watched to 1,900 h.</summary>
    private static LifeSample Late()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 50; i++)
        {
            var hours = 800 + (600 * Math.Pow(-Math.Log(1 - ((i + 0.5) / 50)), 1 / 1.6));
            if (hours < 1_900)
                builder.AddFailed(hours);
            else
                builder.AddSurvived(1_900);
        }

        return builder.Build();
    }

    [Fact]
    public void Marks_are_Kaplan_Meier_points_half_way_up_each_step()
    {
        // 20 units, one failure at a time and no survivor before the last failure: half-way up step i is (i - 0.5)/20.
        var marks = Draw(Published.Nist()).Plot!.Marks;

        Assert.Equal(Published.NistFailures, marks.Select(m => m.Hours));
        Assert.All(marks.Index(), m => Assert.Equal((m.Index + 0.5) / 20, m.Item.FailureFraction, 1e-12));
        Assert.All(marks, m => Assert.Null(m.UpperHours));
    }

    [Fact]
    public void Marks_of_lives_that_all_entered_late_start_from_the_fitted_fraction_at_the_first_entry()
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in (double[])[900, 1100, 1300, 1700])
            builder.AddFailed(hours, entryHours: 800);
        var fit = Draw(builder.AddSurvived(1_800, entryHours: 850).Build(), "exponential");

        // Of five lives; R(800) of the exponential with the mean that the answer gives.
        var reached = Math.Exp(-800 / fit.Parameters[0].Estimate.Value!.Value);
        Assert.Equal(
            [.. Enumerable.Range(0, 4).Select(i => Math.Round(1 - (reached * (1 - ((i + 0.5) / 5))), 10))],
            fit.Plot!.Marks.Select(m => Math.Round(m.FailureFraction, 10)));
        Assert.Contains(fit.Warnings, w => w.Code == WarningCodes.ConditionalOnEntry);
    }

    [Fact]
    public void Lives_that_failed_between_two_ages_are_bars_half_way_up_the_estimate_of_Turnbull()
    {
        var sample = new LifeSampleBuilder()
            .AddBetween(0, 300, count: 2).AddBetween(300, 500, count: 3).AddFailed(450).AddSurvived(600, count: 5).Build();

        var fit = Draw(sample);
        var marks = fit.Plot!.Marks;

        // What is known of those in (300, 500] agrees with the failure at 450, where the estimate puts them all.
        Assert.Equal(SurvivalMethod.Turnbull, fit.Plot!.Method);
        Assert.Equal([0.0, 450], marks.Select(m => m.Hours));
        Assert.Equal([300.0, null], marks.Select(m => m.UpperHours));
        Assert.Equal([2, 4], marks.Select(m => m.Count));
        Assert.Equal(1 / 11.0, marks[0].FailureFraction, 1e-9);
        Assert.Equal(4 / 11.0, marks[1].FailureFraction, 1e-9);
    }

    [Fact]
    public void With_late_entry_marks_come_from_the_estimate_too()
    {
        var sample = new LifeSampleBuilder()
            .AddBetween(0, 300, count: 2).AddBetween(300, 500, count: 3).AddFailed(450).AddSurvived(600, 10, count: 5).Build();

        var marks = Draw(sample).Plot!.Marks;

        // The five watched from 10 h on say nothing of the first ten hours: 2 of the other 6 fail there; then 4 of 9.
        Assert.Equal([0.0, 450], marks.Select(m => m.Hours));
        Assert.Equal([10.0, null], marks.Select(m => m.UpperHours));
        Assert.Equal(1 / 6.0, marks[0].FailureFraction, 1e-9);
        Assert.Equal(1 - (2 / 3.0 + 2 / 3.0 * 5 / 9) / 2, marks[1].FailureFraction, 1e-9);
    }

    [Fact]
    public void More_failures_than_a_drawing_can_show_are_thinned_and_the_answer_says_so()
    {
        var rows = new LifeSampleBuilder();
        for (var i = 1; i <= 3000; i++)
            rows.AddFailed(i);

        var fit = Draw(rows.Build());

        Assert.Equal(1000, fit.Plot!.Marks.Count);
        Assert.Equal((1.0, 3000.0), (fit.Plot.Marks[0].Hours, fit.Plot.Marks[^1].Hours));
        Assert.Contains(fit.Warnings, w => w.Code == AnalysisWarningCodes.MarksThinned);
    }
}
