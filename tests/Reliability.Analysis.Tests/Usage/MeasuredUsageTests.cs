using Reliability.History.Lives;
using Xunit;
using static Reliability.Analysis.Tests.Invented;

namespace Reliability.Analysis.Tests.Usage;

public sealed class MeasuredUsageTests
{
    [Fact]
    public void Readings_at_a_steady_rate_give_that_rate()
    {
        var usage = MeasuredUsage.Estimate(Readings(10, 7, 12.5), 0.95)!;

        Assert.Equal(12.5, usage.HoursPerDay.Value!.Value, 1e-9);
        Assert.Equal(12.5, usage.HoursPerDay.Lower!.Value, 1e-6);
        Assert.Equal((10, Start, Start.AddDays(63)), (usage.ReadingCount, usage.WindowStart, usage.WindowEnd));
    }

    [Fact]
    public void One_wrong_reading_hardly_moves_the_rate()
    {
        var readings = Readings(20, 7, 10).ToArray();
        readings[19] = readings[19] with { Hours = readings[19].Hours + 200 };

        var usage = MeasuredUsage.Estimate(readings, 0.95)!;

        // From first to last reading it would be 11.5 h a day.
        Assert.InRange(usage.HoursPerDay.Value!.Value, 9.99, 10.3);
    }

    [Fact]
    public void A_module_used_on_weekdays_has_the_rate_of_the_whole_week()
    {
        double hours = 0;
        var readings = Enumerable.Range(0, 60).Select(day =>
        {
            var point = new UsagePoint(Start.AddDays(day), Start.AddDays(day), hours, 1);
            hours += day % 7 < 5 ? 14 : 0;
            return point;
        }).ToList();

        Assert.InRange(MeasuredUsage.Estimate(readings, 0.95)!.HoursPerDay.Value!.Value, 9.7, 10.3);
    }

    [Fact]
    public void Recent_readings_count_where_they_suffice()
    {
        var readings = Readings(30, 10, 20).ToList();
        var (last, hours) = (readings[^1].Latest, readings[^1].Hours);
        readings.AddRange(Enumerable.Range(1, 19).Select(i => new UsagePoint(last.AddDays(i * 10), last.AddDays(i * 10), hours + (i * 50), 1)));

        Assert.Equal(5, MeasuredUsage.Estimate(readings, 0.95)!.HoursPerDay.Value!.Value, 1e-9);
    }

    [Fact]
    public void The_present_host_counts_where_its_readings_suffice()
    {
        UsagePoint[] moved =
        [
            .. Readings(10, 7, 20),
            .. Readings(5, 7, 4, stretch: 2).Select(p => p with { Earliest = p.Earliest.AddDays(70), Latest = p.Latest.AddDays(70) }),
        ];

        Assert.Equal(4, MeasuredUsage.Estimate(moved, 0.95)!.HoursPerDay.Value!.Value, 1e-9);
    }

    [Fact]
    public void No_rate_is_above_24_hours_a_day()
    {
        var usage = MeasuredUsage.Estimate(Readings(5, 7, 23.9).Select((p, i) => p with { Hours = p.Hours + (i % 2 * 20) }).ToList(), 0.95)!;

        Assert.True(usage.HoursPerDay.Value <= 24 && usage.HoursPerDay.Upper <= 24);
    }

    [Fact]
    public void Too_few_readings_or_too_short_a_time_give_none()
    {
        Assert.Null(MeasuredUsage.Estimate([], 0.95));
        Assert.Null(MeasuredUsage.Estimate(Readings(2, 30, 10), 0.95));
        Assert.Null(MeasuredUsage.Estimate(Readings(6, 1, 10), 0.95));
        // Two stretches of two readings: hours between them are not known.
        Assert.NotNull(MeasuredUsage.Estimate(
            [.. Readings(2, 30, 10), .. Readings(2, 30, 10, 2).Select(p => p with { Earliest = p.Earliest.AddDays(99), Latest = p.Latest.AddDays(99) })], 0.95));
    }

    [Fact]
    public void Bounds_hold_the_true_rate_about_as_often_as_they_say()
    {
        // Days of use are drawn independently: off with chance 0.3, else 6 to 18 h; read weekly, 12 readings. True mean 8.4 h.
        // 1,000 seeded modules: 950 expected within; 930 is 2.9 standard deviations below.
        var within = 0;
        for (var seed = 0; seed < 1000; seed++)
        {
            var random = Seeded.Random(seed);
            double hours = 0;
            var readings = new List<UsagePoint>();
            for (var day = 0; day <= 77; day++)
            {
                if (day % 7 == 0)
                    readings.Add(new(Start.AddDays(day), Start.AddDays(day), hours, 1));
                hours += random.NextDouble() < 0.3 ? 0 : 6 + (12 * random.NextDouble());
            }

            var rate = MeasuredUsage.Estimate(readings, 0.95)!.HoursPerDay;
            if (rate.Lower <= 8.4 && rate.Upper >= 8.4)
                within++;
        }

        TestContext.Current.TestOutputHelper!.WriteLine($"{within} of 1000 bounds hold the true rate");
        Assert.InRange(within, 930, 985);
    }

    [Fact]
    public void Like_modules_give_the_median_of_their_rates_and_the_range_that_holds_them()
    {
        // 1,000 h within the 356 days to ten days before the end of the year, and so on.
        var days = (Now.AddDays(-10) - Start).TotalDays;
        var lives = new[] { 2.0, 4, 6, 8, 30 }.Select(rate => Life(LifeOutcome.Survived(rate * days))).ToList();

        var usage = CohortUsage.Estimate(lives, 0.95)!;

        Assert.Equal((6, 2, 24), (usage.HoursPerDay.Value!.Value, usage.HoursPerDay.Lower!.Value, usage.HoursPerDay.Upper!.Value));
        Assert.Equal(10, CohortUsage.Estimate([Life(LifeOutcome.Between(0, 10 * days))], 0.95)!.HoursPerDay.Value!.Value, 9);
        Assert.Null(CohortUsage.Estimate([Life(LifeOutcome.Survived(9)) with { EndTime = Start.AddDays(2) }], 0.95));
    }
}
