using Reliability.Cli.Fits;
using Reliability.Plots.Probability;
using Reliability.Plots.Sheets;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Fits;

public sealed class FitSheetsTests
{
    [Fact]
    public void An_answer_becomes_a_sheet_point_by_point()
    {
        ProbabilitySheet sheet = FitSheets.Of("Lamps", [new NamedFit("New", ExampleFits.WithPlot(ExampleFits.Fitted()))]);
        Assert.Equal("95 % bounds", sheet.BoundsLabel);
        Assert.Equal("log", sheet.Axes.HoursScale);
        Assert.Equal(new FractionTick(0.1, -2.2504), Assert.Single(sheet.Axes.FractionTicks));
        ProbabilityCohort cohort = Assert.Single(sheet.Cohorts);
        Assert.Equal(
            [new FittedPoint(100, 4.605, -3.1, -4, -2.5), new FittedPoint(1000, 6.908, null, null, 1.2)],
            cohort.Line);
        Assert.Equal(
            [new ObservedFailure(54, 3.989, null, -2.97), new ObservedFailure(300, 5.704, 6.174, -1.5)],
            cohort.Observed);
        Assert.Equal(["shape 1.7208 (0.99 to 2.8), scale 606.53 (450 to 1,000)"], sheet.Notes);
    }

    [Fact]
    public void Fractions_of_0_and_1_lie_beyond_the_sheet()
    {
        LifeFit fit = ExampleFits.WithPlot(ExampleFits.Fitted());
        fit.Plot.Line.Insert(0, new PlotPoint
        {
            Hours = 50,
            HoursPosition = 3.912,
            FailureFraction = new Estimate { Value = 0, Lower = 0, Upper = 1 },
            FractionPosition = new Estimate(),
        });

        FittedPoint first = FitSheets.Of("Lamps", [new NamedFit("New", fit)]).Cohorts[0].Line[0];

        Assert.Equal(new FittedPoint(50, 3.912, double.NegativeInfinity, double.NegativeInfinity, double.PositiveInfinity), first);
    }

    [Fact]
    public void The_estimate_behind_the_marks_is_named_and_that_they_start_from_the_fit_is_said()
    {
        LifeFit fit = ExampleFits.WithPlot(ExampleFits.Fitted());
        fit.Plot.MarksMethod = SurvivalMethod.Turnbull;
        fit.Warnings.Add(new Warning { Code = "CONDITIONAL_ON_ENTRY", Text = "No life was watched below 40 h: the marks start from the fitted fraction." });

        ProbabilitySheet sheet = FitSheets.Of("Lamps", [new NamedFit("New", fit)]);

        Assert.Equal("Turnbull", sheet.Cohorts[0].ObservedBy);
        Assert.Equal(fit.Warnings[^1].Text, sheet.Notes[1]);
    }

    [Fact]
    public void Cohorts_share_a_sheet_and_say_their_names()
    {
        ProbabilitySheet sheet = FitSheets.Of("Lamps",
        [
            new NamedFit("new", ExampleFits.WithPlot(ExampleFits.Fitted())),
            new NamedFit("refurbished", ExampleFits.WithPlot(ExampleFits.BoundOnly())),
        ]);
        Assert.Equal("refurbished: shape 2 (known), scale at least 3,000", sheet.Notes[1]);
        Assert.Single(sheet.Axes.FractionTicks);
    }

    [Fact]
    public void Fits_on_different_axes_are_not_drawn_together()
    {
        LifeFit other = ExampleFits.WithPlot(ExampleFits.Fitted());
        other.Plot.Axes.FractionScale = "normal";
        Assert.Throws<PlotException>(() => FitSheets.Of("Lamps",
            [new NamedFit("new", ExampleFits.WithPlot(ExampleFits.Fitted())), new NamedFit("refurbished", other)]));
    }

    [Fact]
    public void An_answer_without_a_plot_is_said_so()
    {
        PlotException refusal = Assert.Throws<PlotException>(() => FitSheets.Of("Lamps", [new NamedFit("new", ExampleFits.Fitted())]));
        Assert.Equal("The service gave nothing to draw for new.", refusal.Message);
    }
}
