using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Survival, density and quantile against each other. All ages are found from log survival, never from the quantile, so that each
/// rule rests on survival and on the one function that it is about.</summary>
internal static class DistributionRules
{
    // Hazards at which R or F halves, four steps to each.
    private const int Halvings = 26, Steps = 4;

    // A density that is integrated to less is wrong, not rounded: sixteen nodes a fifth of a halving apart give ten digits.
    private const double DensityTolerance = 1e-7;
    private const double QuantileTolerance = 1e-9;

    // What rounding may do to a sum or a series from one age to the next.
    private const double Rounding = 1e-12;

    private const double GreatestHours = 1e300;
    private const int TailSteps = 110;

    private static readonly double[] Fractions =
    [
        1e-12, 1e-9, 1e-6, 1e-4, 1e-3, 0.01, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 0.999, 1 - 1e-4, 1 - 1e-6, 1 - 1e-9,
        1 - 1e-12,
    ];

    /// <summary>Cumulative hazards from F = 2^-26 to R = 2^-26.</summary>
    public static double[] Hazards { get; } =
    [
        .. Enumerable.Range(0, Halvings * Steps - Steps).Select(i => Tails.Hazard(Math.Pow(2, -Halvings + (double)i / Steps))),
        .. Enumerable.Range(Steps, (Halvings - 1) * Steps + 1).Select(i => (double)i / Steps * Math.Log(2)),
    ];

    public static Finding SurvivalFalls(FamilyUnderTest subject)
    {
        var family = subject.Family;
        double[] sweep = [.. Enumerable.Range(-600, 1201).Select(i => Math.Pow(10, i / 2.0))];
        foreach (var member in subject.Members)
        {
            double[] hours = [0, .. sweep.Concat(family.AgesAt(member, Hazards)).Concat(TailAges(family, member)).Order()];
            var logs = family.LogSurvivals(member, hours);
            for (var i = 0; i < hours.Length; i++)
            {
                Broken.Unless(logs[i] <= 0, $"log R({hours[i]:G6}) is {logs[i]:G6} for {DescriptionRules.Named(member)}; it is never above 0.");
                Broken.Unless(
                    i == 0 || logs[i] <= logs[i - 1] || logs[i] <= logs[i - 1] + Rounding * Math.Abs(logs[i - 1]),
                    $"log R rises from {logs[Math.Max(i - 1, 0)]:G6} to {logs[i]:G6} between {hours[Math.Max(i - 1, 0)]:G6} and {hours[i]:G6} h for {DescriptionRules.Named(member)}.");
            }

            Broken.Unless(
                family.HasNegativeLives || logs[0] == 0,
                $"log R(0) is {logs[0]:G6} for {DescriptionRules.Named(member)}; all live at 0 h unless there are negative lives.");
            Broken.Unless(
                logs[^1] < Math.Log(1e-6), $"R is still {Math.Exp(logs[^1]):G6} at {GreatestHours:G2} h for {DescriptionRules.Named(member)}.");
        }

        return Finding.Kept($"{sweep.Length + Hazards.Length + TailSteps + 1} ages of each member");
    }

    public static Finding DensityIntegrates(FamilyUnderTest subject)
    {
        var family = subject.Family;
        var panels = 0;
        foreach (var member in subject.Members)
        {
            var stretches = Breaks(family.AgesAt(member, Hazards), subject.Corners(member));
            var breaks = Finer(stretches);
            var logs = family.LogSurvivals(member, stretches);
            var integrals = GaussLegendre.Panels(breaks, hours => [.. family.LogDensities(member, hours).Select(Math.Exp)]);
            var panel = 0;
            for (var i = 0; i + 1 < stretches.Length; i++)
            {
                double density = 0;
                for (; panel < integrals.Length && breaks[panel] < stretches[i + 1]; panel++)
                    density += integrals[panel];
                Broken.UnlessNear(
                    -Math.Exp(logs[i]) * Tails.Expm1(logs[i + 1] - logs[i]), density, DensityTolerance,
                    $"The density integrated from {stretches[i]:G8} to {stretches[i + 1]:G8} h for {DescriptionRules.Named(member)}, against R there less R here");
            }

            panels += integrals.Length;
        }

        return Finding.Kept($"{panels} panels between F = 1e-8 and R = 1e-8");
    }

    public static Finding QuantileInverts(FamilyUnderTest subject)
    {
        var family = subject.Family;
        double[] dense = [.. Enumerable.Range(1, 300).Select(i => Math.Pow(10, -300 + i)).Concat(Enumerable.Range(1, 98).Select(i => i / 100.0))
            .Concat(Enumerable.Range(2, 14).Select(i => 1 - Math.Pow(10, -i))).Where(p => p is > 0 and < 1).Order()];
        foreach (var member in subject.Members)
        {
            var hours = family.Quantiles(member, Fractions);
            var logs = family.LogSurvivals(member, hours);
            var earlier = family.LogSurvivals(member, [.. hours.Select(h => h * (1 - 4e-16))]);
            var later = family.LogSurvivals(member, [.. hours.Select(h => h * (1 + 4e-16))]);
            for (var i = 0; i < hours.Length; i++)
            {
                // Beyond what a double holds, or below 0 h where the distribution goes on, there is nothing to compare.
                if (double.IsPositiveInfinity(hours[i]) || (family.HasNegativeLives && hours[i] <= 0))
                    continue;
                var hazard = Tails.Hazard(Fractions[i]);
                var ulps = Math.Abs(later[i] - earlier[i]) * 2 / hazard;
                Broken.UnlessNear(
                    hazard, -logs[i], QuantileTolerance + (double.IsFinite(ulps) ? ulps : 0),
                    $"-log R at the quantile of {Fractions[i]:R}, {hours[i]:G8} h, for {DescriptionRules.Named(member)}");
            }

            var rising = family.Quantiles(member, dense);
            for (var i = 0; i < rising.Length; i++)
            {
                Broken.Unless(
                    family.HasNegativeLives || !(rising[i] < 0), $"The quantile of {dense[i]:G6} is {rising[i]:G6} h for {DescriptionRules.Named(member)}.");
                Broken.Unless(
                    i == 0 || !(rising[i] < rising[i - 1] - Rounding * Math.Abs(rising[i - 1])),
                    $"The quantile goes back from {rising[Math.Max(i - 1, 0)]:G12} to {rising[i]:G12} h between fractions {dense[Math.Max(i - 1, 0)]:G6} and {dense[i]:G6} for {DescriptionRules.Named(member)}.");
            }
        }

        return Finding.Kept($"{Fractions.Length} fractions of each member inverted, {dense.Length} in order");
    }

    /// <summary>On in even steps of log age to about where R is the least number that a double holds. They are not found from log R, which may
    /// not be to be trusted there.</summary>
    private static IEnumerable<double> TailAges(ILifeFamily family, double[] member)
    {
        var ages = family.AgesAt(member, [9, 18]);
        return Enumerable.Range(1, TailSteps).Select(k => ages[1] * Math.Pow(ages[1] / ages[0], k / 20.0)).Where(t => t < GreatestHours);
    }

    /// <summary>Where R hardly falls over a long stretch, as between the parts of a mixture, the density does what it likes: such stretches are
    /// cut into shorter ones.</summary>
    public static double[] Finer(double[] breaks)
    {
        const double Ratio = 1.5;
        const int Most = 40;
        var finer = new List<double> { breaks[0] };
        for (var i = 0; i + 1 < breaks.Length; i++)
        {
            var log = Math.Log(breaks[i + 1] / breaks[i]);
            var parts = (int)Math.Clamp(Math.Ceiling(log / Math.Log(Ratio)), 1, Most);
            for (var k = 1; k < parts; k++)
                finer.Add(breaks[i] * Math.Exp(k * log / parts));
            finer.Add(breaks[i + 1]);
        }

        return [.. finer];
    }

    /// <summary>Increasing ages without those that a double cannot tell apart.</summary>
    public static double[] Breaks(IEnumerable<double> ages, IEnumerable<double> corners)
    {
        var breaks = new List<double>();
        foreach (var age in ages.Concat(corners).Where(a => a is > 1e-290 and < 1e290).Order())
        {
            if (breaks.Count == 0 || age > breaks[^1] * (1 + 1e-13))
                breaks.Add(age);
        }

        return [.. breaks];
    }
}
