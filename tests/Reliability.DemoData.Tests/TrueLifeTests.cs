using Reliability.DemoData.Randomness;
using Reliability.DemoData.Scenario;

namespace Reliability.DemoData.Tests;

public sealed class TrueLifeTests
{
    // Closed forms: the gamma function at 3/2 is sqrt(pi)/2; at shape 1 the mean is the scale.
    [Fact]
    public void Mean_life_has_its_closed_form()
    {
        Assert.Equal(1_000 * Math.Sqrt(Math.PI) / 2, new TrueLife(2, 1_000).MeanHours, 1e-9);
        Assert.Equal(1_000, new TrueLife(1, 1_000).MeanHours, 1e-9);
    }

    [Fact]
    public void A_percentile_life_is_outlasted_by_the_rest()
    {
        var life = new TrueLife(2.6, 1_900);

        Assert.Equal(0.9, life.Reliability(life.PercentileHours(0.10)), 1e-12);
        Assert.Equal(Math.Exp(-1), life.Reliability(1_900), 1e-12);
    }

    [Fact]
    public void Draws_follow_the_distribution()
    {
        var life = new TrueLife(1.5, 7_000);
        var random = Xoshiro256.For(7, "draws");
        const int Count = 200_000;
        double[] draws = [.. Enumerable.Range(0, Count).Select(_ => life.Draw(random)).Order()];

        // The Kolmogorov distance of so many draws is above 1.95/sqrt(n) once in a thousand times.
        var distance = draws.Select((hours, index) => Math.Abs(1 - life.Reliability(hours) - (index + 0.5) / Count)).Max();

        Assert.True(distance < 1.95 / Math.Sqrt(Count), $"distance {distance}");
    }
}
