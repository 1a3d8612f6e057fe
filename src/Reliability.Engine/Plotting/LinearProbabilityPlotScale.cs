using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Plotting;

/// <summary>Probability paper of a location-scale family of the hours themselves: hours against the standard quantile of
/// the failed fraction (Meeker and Escobar 1998, 6.2).</summary>
internal sealed class LinearProbabilityPlotScale(IStandardDistribution distribution, string fractionScale) : IPlotScale
{
    public string HoursScale => "linear";

    public string FractionScale { get; } = fractionScale;

    public double HoursToAxis(double hours) => hours;

    public double AxisToHours(double position) => position;

    public double FractionToAxis(double fraction) => distribution.Quantile(fraction);

    public double AxisToFraction(double position) => -NearZero.Expm1(distribution.LogSurvival(position));

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) =>
        PlotTicks.Linear(fromHours, toHours, HoursToAxis);

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        PlotTicks.Fractions(fromFraction, toFraction, FractionToAxis);
}
