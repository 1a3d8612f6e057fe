using Reliability.Plots.Probability;
using Reliability.Plots.Sheets;
using Xunit;

namespace Reliability.Plots.Tests.Probability;

public sealed class HoursAxisTests
{
    [Theory]
    [InlineData("log", 2.0)]
    [InlineData("linear", 0.0005)]
    public void Any_age_lies_where_the_model_would_put_it(string scale, double slope)
    {
        double Model(double hours) => 7 + slope * (scale == "log" ? Math.Log(hours) : hours);
        HoursAxis axis = HoursAxis.From(scale, [(20_000, Model(20_000)), (100, Model(100)), (0, 0)]);
        Assert.Equal(Model(1234.5), axis.Position(1234.5), 10);
    }

    [Fact]
    public void Ticks_on_logarithms_are_one_two_and_five_times_powers_of_ten()
    {
        HoursAxis axis = HoursAxis.From("log", [(1, 0), (10, 1)]);
        List<AxisLabel> ticks = [.. axis.Ticks(0.9, 4.1).OrderBy(t => t.Position)];
        Assert.Equal(
            ["10", "20", "50", "100", "200", "500", "1,000", "2,000", "5,000", "10,000"],
            ticks.Select(t => t.Text));
        Assert.Equal(Math.Log10(200), ticks[4].Position, 12);
    }

    [Fact]
    public void A_short_range_of_logarithms_has_round_steps()
    {
        HoursAxis axis = HoursAxis.From("log", [(1, 0), (10, 1)]);
        Assert.Equal(
            ["1,800", "2,000", "2,200", "2,400"],
            axis.Ticks(Math.Log10(1790), Math.Log10(2500)).Where((_, i) => i % 2 == 0).Select(t => t.Text));
    }

    [Fact]
    public void Negative_hours_get_no_tick()
    {
        HoursAxis axis = HoursAxis.From("linear", [(1, 1), (1000, 1000)]);
        Assert.Equal("0", axis.Ticks(-50, 1000)[0].Text);
    }

    [Fact]
    public void Equal_ages_give_no_axis()
    {
        Assert.Throws<PlotException>(() => HoursAxis.From("log", [(5, 1), (5, 1)]));
    }
}
