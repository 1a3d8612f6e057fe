using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>Axes forth by logarithms to ten, back by natural ones.</summary>
internal sealed class AlteredPlot(IPlotScale right) : IPlotScale
{
    public string HoursScale => right.HoursScale;

    public string FractionScale => right.FractionScale;

    public double HoursToAxis(double hours) => right.HoursToAxis(hours);

    public double AxisToHours(double position) => Math.Exp(position);

    public double FractionToAxis(double fraction) => right.FractionToAxis(fraction);

    public double AxisToFraction(double position) => right.AxisToFraction(position);

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) => right.HoursTicks(fromHours, toHours);

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) => right.FractionTicks(fromFraction, toFraction);
}
