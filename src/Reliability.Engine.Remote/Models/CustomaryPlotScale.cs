using Reliability.Engine.Abstractions;
using Special = MathNet.Numerics.SpecialFunctions;

namespace Reliability.Engine.Remote.Models;

/// <summary>Probability paper of a customary kind (Meeker and Escobar 1998, 6.2).</summary>
/// <param name="axes">The axes asked for.</param>
internal sealed class CustomaryPlotScale(RemoteAxes axes) : IPlotScale
{
    private readonly HoursAxis _hours = new(axes.Hours);

    public string HoursScale => _hours.Name;

    public string FractionScale => axes.Fraction switch
    {
        PlugIn.V1.FractionScale.Weibull => "weibull",
        PlugIn.V1.FractionScale.Normal => "normal",
        PlugIn.V1.FractionScale.Logistic => "logistic",
        _ => "exponential",
    };

    public double HoursToAxis(double hours) => _hours.Position(hours);

    public double AxisToHours(double position) => _hours.Hours(position);

    public double FractionToAxis(double fraction) => axes.Fraction switch
    {
        PlugIn.V1.FractionScale.Weibull => Math.Log(-Special.Log1p(-fraction)),
        PlugIn.V1.FractionScale.Normal => -Math.Sqrt(2) * Special.ErfcInv(2 * fraction),
        PlugIn.V1.FractionScale.Logistic => Math.Log(fraction) - Special.Log1p(-fraction),
        _ => -Special.Log1p(-fraction),
    };

    public double AxisToFraction(double position) => axes.Fraction switch
    {
        PlugIn.V1.FractionScale.Weibull => -Special.Expm1(-Math.Exp(position)),
        PlugIn.V1.FractionScale.Normal => Special.Erfc(-position / Math.Sqrt(2)) / 2,
        PlugIn.V1.FractionScale.Logistic => 1 / (1 + Math.Exp(-position)),
        _ => -Special.Expm1(-position),
    };

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) => _hours.Ticks(fromHours, toHours);

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        PlotTicks.At(PlotTicks.Fractions(fromFraction, toFraction), FractionToAxis);
}
