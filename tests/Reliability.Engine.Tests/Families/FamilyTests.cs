using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Families;

/// <summary>Distributions against their definitions.</summary>
public sealed class FamilyTests
{
    /// <summary>Members of families without axes of their own.</summary>
    public static TheoryData<string, double[]> CurvedMembers() => new()
    {
        { "gamma", [0.1, 1e6] },
        { "gamma", [2.2, 266] },
        { "gamma", [1900, 1e-3] },
        { "gamma", [2100, 1e-3] },
        { "gamma", [1e5, 1e-3] },
        { "generalized-gamma", [6, 0.7, 0] },
        { "generalized-gamma", [6, 0.7, 1e-7] },
        { "generalized-gamma", [6, 0.7, 0.015] },
        { "generalized-gamma", [6, 0.7, -0.025] },
        { "generalized-gamma", [6, 0.4, 1] },
        { "generalized-gamma", [6, 0.4, -1.2] },
        { "generalized-gamma", [-3, 1.3, 3] },
        { "weibull3", [1.7, 1850, 782] },
        { "weibull3", [3, 1e-3, 0] },
        { "weibull-mixture2", [0.2, 0.8, 100, 3, 5000] },
        { "weibull-mixture2", [0.6, 4, 1e-3, 0.7, 1e-2] },
    };

    public static TheoryData<string, double[]> AllMembers() => [.. Members(), .. CurvedMembers()];

    public static TheoryData<string, double[]> Members() => new()
    {
        { "weibull", [0.2, 1e-6] },
        { "weibull", [1.7, 600] },
        { "weibull", [20, 1e9] },
        { "exponential", [1234] },
        { "lognormal", [6.2, 0.9] },
        { "lognormal", [-14, 0.05] },
        { "lognormal", [5, 7] },
        { "loglogistic", [2.3, 600] },
        { "loglogistic", [30, 1e9] },
    };

    [Theory]
    [MemberData(nameof(AllMembers))]
    [InlineData("normal", new[] { 1e6, 3e4 })]
    public void Quantile_inverts_survival_and_density_is_its_slope(string id, double[] parameters)
    {
        var family = Asked.Model(id).Family!;
        double[] fractions = [1e-12, 1e-6, 0.01, 0.3, 0.5, 0.9, 1 - 1e-9];
        var hours = new double[fractions.Length];
        var survival = new double[fractions.Length];
        var density = new double[fractions.Length];
        family.Quantile(parameters, fractions, hours);
        family.LogSurvival(parameters, hours, survival);
        family.LogDensity(parameters, hours, density);
        for (var i = 0; i < fractions.Length; i++)
        {
            var failed = fractions[i] < 0.5 ? -Expm1(survival[i]) : 1 - Math.Exp(survival[i]);
            Assert.Equal(1, failed / fractions[i], 1e-9);
            if (fractions[i] is < 0.005 or > 0.99)
                continue;
            var step = 1e-5 * hours[i];
            double[] around = [hours[i] - step, hours[i] + step];
            var ends = new double[2];
            family.LogSurvival(parameters, around, ends);
            Assert.Equal(1, (Math.Exp(ends[0]) - Math.Exp(ends[1])) / (2 * step) / Math.Exp(density[i]), 1e-5);
        }
    }

    [Theory]
    [MemberData(nameof(AllMembers))]
    public void Mean_is_the_integral_of_survival(string id, double[] parameters)
    {
        // Trapezoid in log time; the integrand t R(t) is smooth and falls off at both ends.
        var family = Asked.Model(id).Family!;
        var median = new double[1];
        family.Quantile(parameters, [0.5], median);
        double sum = 0;
        var hours = new double[1];
        var survival = new double[1];
        const double Step = 1.0 / 256;
        for (var y = -60.0; y < 120; y += Step)
        {
            hours[0] = median[0] * Math.Exp(y);
            if (!double.IsFinite(hours[0]))
                break;
            family.LogSurvival(parameters, hours, survival);
            sum += Math.Exp(survival[0]) * hours[0] * Step;
        }

        // A family without a mean in closed form leaves it to the engine, near enough to one that has it.
        var mean = family.Mean(parameters) ?? Math.Exp(parameters[0] + parameters[1] * parameters[1] / 2);
        Assert.Equal(1, sum / mean, family.Mean(parameters) is null ? 1e-1 : 1e-8);
    }

    [Theory]
    [MemberData(nameof(Members))]
    public void The_distribution_is_a_straight_line_on_its_own_axes(string id, double[] parameters)
    {
        var family = Asked.Model(id).Family!;
        double[] fractions = [0.01, 0.3, 0.99];
        var hours = new double[3];
        family.Quantile(parameters, fractions, hours);
        double[] x = [.. hours.Select(family.Plot.HoursToAxis)];
        double[] y = [.. fractions.Select(family.Plot.FractionToAxis)];

        Assert.Equal(1, (y[1] - y[0]) / (x[1] - x[0]) / ((y[2] - y[1]) / (x[2] - x[1])), 1e-8);
        for (var i = 0; i < 3; i++)
        {
            Assert.Equal(1, family.Plot.AxisToHours(x[i]) / hours[i], 1e-10);
            Assert.Equal(fractions[i], family.Plot.AxisToFraction(y[i]), 1e-12);
        }

        var ticks = family.Plot.HoursTicks(hours[0], hours[2]);
        Assert.All(ticks, t => Assert.InRange(t.Value, hours[0] * 0.999, hours[2] * 1.001));
        Assert.Equal([0.01, 0.02, 0.05], family.Plot.FractionTicks(0.01, 0.09).Select(t => t.Value));
    }

    private static double Expm1(double x) => Math.Abs(x) < 1e-5 ? x + x * x / 2 + x * x * x / 6 : Math.Exp(x) - 1;
}
