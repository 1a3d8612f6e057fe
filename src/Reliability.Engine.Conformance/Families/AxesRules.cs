using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Axes on which fits are drawn.</summary>
internal static class AxesRules
{
    private const double Tolerance = 1e-9;

    private static readonly double[] Fractions = [1e-6, 1e-4, 1e-3, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999, 1 - 1e-4];

    public static Finding Family(FamilyUnderTest subject)
    {
        foreach (var member in subject.Members)
            Check(subject.Family.Plot, [.. subject.Family.AgesAt(member, [.. Fractions.Select(Tails.Hazard)]).Where(t => t > 1e-250)]);
        return Finding.Kept($"{subject.Family.Plot.HoursScale} hours, {subject.Family.Plot.FractionScale} fractions");
    }

    public static Finding Model(LifeModelUnderTest subject)
    {
        var plot = subject.Model.Description.Plot;
        foreach (var member in subject.Members)
            Check(plot, subject.Distribution(member).AgesAt(member, [.. Fractions.Select(Tails.Hazard)]));
        return Finding.Kept($"{plot.HoursScale} hours, {plot.FractionScale} fractions");
    }

    private static void Check(IPlotScale plot, double[] hours)
    {
        Broken.Unless(!string.IsNullOrWhiteSpace(plot.HoursScale) && !string.IsNullOrWhiteSpace(plot.FractionScale), $"A scale has no name.");
        Broken.Unless(plot.HoursScale is "log" or "linear", $"The hours' scale is \"{plot.HoursScale}\"; only \"log\" and \"linear\" are drawn.");
        if (hours.Length > 2)
            Straight(plot, hours);
        Map("hours", hours, plot.HoursToAxis, plot.AxisToHours);
        Map("fractions", Fractions, plot.FractionToAxis, plot.AxisToFraction);
        if (hours.Length > 1)
            Ticks("hours", hours[0], hours[^1], plot.HoursTicks(hours[0], hours[^1]), plot.HoursToAxis);
        Ticks("fractions", Fractions[0], Fractions[^1], plot.FractionTicks(Fractions[0], Fractions[^1]), plot.FractionToAxis);
    }

    private static void Map(string what, double[] values, Func<double, double> forth, Func<double, double> back)
    {
        var before = double.NegativeInfinity;
        foreach (var value in values)
        {
            var position = forth(value);
            Broken.Unless(double.IsFinite(position), $"The axis of {what} puts {value:G6} at {position}.");
            Broken.Unless(position > before, $"The axis of {what} does not rise up to {value:G6}.");
            Broken.UnlessNear(value, back(position), Tolerance, $"The axis of {what} there and back");
            before = position;
        }
    }

    /// <summary>Positions are the hours, or their logarithm, times something plus something: an answer carries no more of the axis than that.</summary>
    private static void Straight(IPlotScale plot, double[] hours)
    {
        double Along(double t) => plot.HoursScale == "log" ? Math.Log(t) : t;
        var (from, to) = (hours[0], hours[^1]);
        foreach (var t in hours.Skip(1).SkipLast(1))
        {
            var part = (Along(t) - Along(from)) / (Along(to) - Along(from));
            var position = (plot.HoursToAxis(t) - plot.HoursToAxis(from)) / (plot.HoursToAxis(to) - plot.HoursToAxis(from));
            Broken.Unless(Math.Abs(position - part) <= 1e-6, $"The hours' scale is called {plot.HoursScale} and {t:G6} h does not lie on it as it would.");
        }
    }

    private static void Ticks(string what, double from, double to, IReadOnlyList<PlotTick> ticks, Func<double, double> forth)
    {
        Broken.Unless(ticks.Count > 0, $"The axis of {what} has no tick from {from:G6} to {to:G6}.");
        for (var i = 0; i < ticks.Count; i++)
        {
            Broken.Unless(
                ticks[i].Value >= from * (1 - Tolerance) && ticks[i].Value <= to * (1 + Tolerance),
                $"A tick of {what} at {ticks[i].Value:G6} lies outside {from:G6} to {to:G6}.");
            Broken.Unless(i == 0 || ticks[i].Value > ticks[i - 1].Value, $"Ticks of {what} do not rise.");
            Broken.UnlessNear(forth(ticks[i].Value), ticks[i].Position, Tolerance, $"The place of the tick of {what} at {ticks[i].Value:G6}");
        }
    }
}
