using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Means against the integral of R.</summary>
internal static class MeanRules
{
    private const double Tolerance = 1e-7;
    private const double GreatestHazard = 700, UsualHazard = 45;

    // Below this cumulative hazard R is 1 to eleven digits.
    private const double LeastHazard = 1e-12;

    private static readonly double[] Ages = [0.2, 0.9];

    // Grows by a third a step as long as it is small, by as much again and again further up.
    private static readonly double[] Hazards = Make();

    public static Finding Mean(FamilyUnderTest subject)
    {
        var tried = 0;
        foreach (var member in subject.Members)
        {
            if (subject.Family.Mean(member) is not { } mean || HasLivesBelowZero(subject.Family, member))
                continue;
            var (least, whole) = IntegralFrom(subject, member, 0);
            Compare(least, whole, mean, $"The mean for {DescriptionRules.Named(member)}, against the integral of R");
            tried++;
        }

        return tried == 0
            ? Finding.NotClaimed("It gives no mean in closed form; the engine integrates.")
            : Finding.Kept($"{tried} members");
    }

    public static Finding MeanRemaining(FamilyUnderTest subject)
    {
        var tried = 0;
        foreach (var member in subject.Members)
        {
            foreach (var age in subject.Family.AgesAt(member, [.. Ages.Select(Tails.Hazard)]))
            {
                if (subject.Family.MeanRemaining(member, age) is not { } mean)
                    continue;
                var (least, whole) = IntegralFrom(subject, member, age);
                Compare(
                    least, whole, mean, $"The mean remaining life at {age:G8} h for {DescriptionRules.Named(member)}, against the integral of R");
                tried++;
            }
        }

        return tried == 0
            ? Finding.NotClaimed("It gives no mean remaining life in closed form; the engine integrates.")
            : Finding.Kept($"{tried} ages");
    }

    private static void Compare(double least, bool whole, double mean, FormattableString what)
    {
        if (whole)
            Broken.UnlessNear(least, mean, Tolerance, what);
        else
            Broken.Unless(!(mean < least * (1 - Tolerance)), $"{what}: {mean:G12}, and up to 1e300 h there are {least:G12} already.");
    }

    /// <summary>The integral of R from an age on over R there, and whether it has an end that was reached.</summary>
    private static (double Hours, bool IsWhole) IntegralFrom(FamilyUnderTest subject, double[] member, double age)
    {
        // Most have nothing left soon; heavy tails are followed to the end.
        var (sum, isWhole) = IntegralFrom(subject, member, age, [.. Hazards.Where(h => h < UsualHazard)]);
        return isWhole ? (sum, true) : IntegralFrom(subject, member, age, Hazards);
    }

    private static (double Hours, bool IsWhole) IntegralFrom(FamilyUnderTest subject, double[] member, double age, double[] hazards)
    {
        var family = subject.Family;
        var before = age > 0 ? family.LogSurvivals(member, [age])[0] : 0;
        double[] further = [.. family.AgesAt(member, [.. hazards.Select(h => h - before)]).Where(t => t > age)];
        var breaks = DistributionRules.Finer(DistributionRules.Breaks(further, subject.Corners(member).Where(t => t > age)));

        // From the start to the first break R does not fall.
        var sum = breaks[0] - age;
        var panels = GaussLegendre.Panels(breaks, hours => [.. family.LogSurvivals(member, hours).Select(log => Math.Exp(log - before))]);
        var logs = family.LogSurvivals(member, breaks);
        for (var i = 0; i < panels.Length; i++)
        {
            sum += panels[i];
            var left = breaks[i + 1] * Math.Exp(logs[i + 1] - before);
            if (left < 1e-11 * sum && logs[i + 1] - before < -20)
                return (sum, true);
        }

        return (sum, breaks[^1] * Math.Exp(logs[^1] - before) < 1e-9 * sum);
    }

    private static bool HasLivesBelowZero(ILifeFamily family, double[] member) =>
        family.HasNegativeLives && family.LogSurvivals(member, [0])[0] < -1e-9;

    private static double[] Make()
    {
        var hazards = new List<double>();
        for (var h = LeastHazard; h < GreatestHazard; h += Math.Min(h / 3, 0.4))
            hazards.Add(h);
        return [.. hazards];
    }
}
