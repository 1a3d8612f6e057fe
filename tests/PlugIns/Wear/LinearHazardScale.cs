using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Wear;

/// <summary>Hours as they are against the logarithm of the cumulative hazard: axes of the plug-in's own.</summary>
public sealed class LinearHazardScale : IPlotScale
{
    private static readonly double[] Fractions = [0.001, 0.01, 0.1, 0.5, 0.9, 0.99];

    public string HoursScale => "linear";

    public string FractionScale => "gompertz";

    public double HoursToAxis(double hours) => hours;

    public double AxisToHours(double position) => position;

    public double FractionToAxis(double fraction) => Math.Log(-Math.Log(1 - fraction));

    public double AxisToFraction(double position) => 1 - Math.Exp(-Math.Exp(position));

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) =>
        [.. Enumerable.Range(0, 6).Select(i => fromHours + i * (toHours - fromHours) / 5).Select(h => new PlotTick(h, h))];

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        [.. Fractions.Where(f => f >= fromFraction && f <= toFraction).Select(f => new PlotTick(FractionToAxis(f), f))];
}
