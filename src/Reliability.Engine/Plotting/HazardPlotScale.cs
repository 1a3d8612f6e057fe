using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Plotting;

/// <summary>The exponential's axes: hours against the cumulative hazard -log(1 - F), a line through the origin
/// (Meeker and Escobar 1998, 6.2).</summary>
internal sealed class HazardPlotScale : IPlotScale
{
    public string HoursScale => "linear";

    public string FractionScale => "exponential";

    public double HoursToAxis(double hours) => hours;

    public double AxisToHours(double position) => position;

    public double FractionToAxis(double fraction) => -NearZero.Log1p(-fraction);

    public double AxisToFraction(double position) => -NearZero.Expm1(-position);

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) =>
        PlotTicks.Linear(fromHours, toHours, HoursToAxis);

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        PlotTicks.Fractions(fromFraction, toFraction, FractionToAxis);
}
