using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>Plugged-in axes whose positions are never NaN and whose ticks are finite.</summary>
internal sealed class GuardedPlotScale(IPlotScale inner, Guard guard) : IPlotScale
{
    private const int MostTicks = 1000;

    public string HoursScale { get; } = inner.HoursScale;

    public string FractionScale { get; } = inner.FractionScale;

    public double HoursToAxis(double hours) => Number("position of an age", hours, inner.HoursToAxis);

    public double AxisToHours(double position) => Number("age at a position", position, inner.AxisToHours);

    public double FractionToAxis(double fraction) => Number("position of a fraction", fraction, inner.FractionToAxis);

    public double AxisToFraction(double position) => Number("fraction at a position", position, inner.AxisToFraction);

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) =>
        Ticks("ticks of ages", () => inner.HoursTicks(fromHours, toHours));

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        Ticks("ticks of fractions", () => inner.FractionTicks(fromFraction, toFraction));

    private double Number(string what, double at, Func<double, double> map)
    {
        var number = guard.Run(what, () => map(at));
        return double.IsNaN(number) && !double.IsNaN(at) ? throw guard.Failed($"its {what} at {Guard.Text(at)} is NaN") : number;
    }

    private IReadOnlyList<PlotTick> Ticks(string what, Func<IReadOnlyList<PlotTick>> make)
    {
        var ticks = guard.Run(what, () => (IReadOnlyList<PlotTick>)[.. make().Take(MostTicks + 1)]);
        if (ticks.Count > MostTicks)
            throw guard.Failed($"its {what} are more than {MostTicks}");
        foreach (var tick in ticks)
        {
            guard.Finite(tick.Position, what);
            guard.Finite(tick.Value, what);
        }

        return ticks;
    }
}
