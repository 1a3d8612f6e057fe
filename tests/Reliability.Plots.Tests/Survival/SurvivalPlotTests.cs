using Reliability.Plots.Sheets;
using Reliability.Plots.Survival;
using Reliability.Plots.Tests.Sheets;
using Xunit;

namespace Reliability.Plots.Tests.Survival;

public sealed class SurvivalPlotTests
{
    private static readonly SurvivalSheet Drives = new()
    {
        Title = "Survival of drive modules",
        BoundsLabel = "Kaplan-Meier, 95 % bounds",
        Cohorts =
        [
            new SurvivalCohort
            {
                Name = "New",
                OldestAgeHours = 8000,
                Steps =
                [
                    new SurvivalStep(2100, .95, .70, .99), new SurvivalStep(4300, .88, .62, .97),
                    new SurvivalStep(6100, .74, .45, .89), new SurvivalStep(7900, 0, null, null),
                ],
            },
            new SurvivalCohort
            {
                Name = "Refurbished",
                OldestAgeHours = 5200,
                Steps = [new SurvivalStep(1500, .8, .5, .93), new SurvivalStep(3000, .6, .3, .8)],
            },
        ],
    };

    [Fact]
    public void An_svg_holds_labels_and_legend_as_text()
    {
        using TemporaryFile file = new("survival.svg");
        SurvivalPlot.Save(Drives, file.Path);
        List<string> texts = [.. Svg.Texts(file.Path).Select(t => t.Text)];
        foreach (string text in (string[])
            ["Survival of drive modules", "Run-hours", "Surviving, %", "8,000", "100", "New: Kaplan-Meier, 95 % bounds"])
        {
            Assert.Contains(text, texts);
        }
    }

    [Fact]
    public void A_curve_begins_where_the_first_life_was_watched()
    {
        using Sheet drawn = SurvivalPlot.Draw(Drives with { Cohorts = [Drives.Cohorts[0] with { EarliestEntryHours = 800 }] });

        ScottPlot.Coordinates first = Assert.Single(drawn.Plot.GetPlottables<ScottPlot.Plottables.Scatter>()).Data.GetScatterPoints()[0];
        Assert.Equal((800, 100), (first.X, first.Y));
    }

    [Fact]
    public void A_sheet_without_ages_is_refused()
    {
        SurvivalSheet empty = Drives with { Cohorts = [new SurvivalCohort { Name = "None", Steps = [], OldestAgeHours = 0 }] };
        Assert.Throws<PlotException>(() => SurvivalPlot.Save(empty, "survival.png"));
    }
}
