using Reliability.Engine.Abstractions;

namespace BirnbaumSaunders;

/// <summary>
/// Probability paper: log hours against 2 asinh(a z / 2) / a of the normal quantile z. A life with alpha = a is a straight line on it, for
/// log t = log beta + 2 asinh(alpha z / 2); others are not, whatever the axes, for alpha bends the line and beta does not. With a = 1/2 those
/// with alpha from 0 to 1 are straight to the eye.
/// </summary>
internal sealed class FatiguePaper : IPlotScale
{
    private const double Straight = 0.5;

    private static readonly double[] Marks =
        [1e-6, 1e-5, 1e-4, 0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999];

    public string HoursScale => "log";

    public string FractionScale => "birnbaum-saunders";

    public double HoursToAxis(double hours) => Math.Log10(hours);

    public double AxisToHours(double position) => Math.Pow(10, position);

    public double FractionToAxis(double fraction) => 2 / Straight * Math.Asinh(Straight * Normal.Quantile(fraction) / 2);

    public double AxisToFraction(double position) => Normal.Fraction(2 / Straight * Math.Sinh(Straight * position / 2));

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) =>
    [
        .. from power in Enumerable.Range((int)Math.Floor(Math.Log10(fromHours)), (int)(Math.Log10(toHours) - Math.Floor(Math.Log10(fromHours))) + 1)
           from digit in new[] { 1.0, 1.5, 2, 3, 5, 7 }
           let hours = digit * Math.Pow(10, power)
           where hours >= fromHours && hours <= toHours
           select new PlotTick(HoursToAxis(hours), hours),
    ];

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        [.. Marks.Where(p => p >= fromFraction && p <= toFraction).Select(p => new PlotTick(FractionToAxis(p), p))];
}
