using MathNet.Numerics.Interpolation;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Remote.Models;

/// <summary>
/// The axes on which a family is a straight line at given parameters: a fraction stands where its quantile stands on the axis of hours.
/// The quantiles are asked for once, at fractions even in log(p / (1 - p)), and joined by a curve that never falls (Fritsch and Carlson
/// 1980); the axis ends at a part in ten million.
/// </summary>
/// <param name="family">The family.</param>
/// <param name="axes">The axes asked for.</param>
internal sealed class OwnPlotScale(RemoteFamily family, RemoteAxes axes) : IPlotScale
{
    private const int Points = 401, Halvings = 60;
    private const double End = 16;

    private readonly HoursAxis _hours = new(axes.Hours);

    // Asked for when somebody draws: the plug-in answers then, or the drawing fails, and not the plug-in as a whole.
    private IInterpolation? _positions;

    public string HoursScale => _hours.Name;

    public string FractionScale => family.Id;

    public double HoursToAxis(double hours) => _hours.Position(hours);

    public double AxisToHours(double position) => _hours.Hours(position);

    public double FractionToAxis(double fraction) =>
        Positions().Interpolate(Math.Clamp(Math.Log(fraction / (1 - fraction)), -End, End));

    public double AxisToFraction(double position)
    {
        var positions = Positions();
        var (low, high) = (-End, End);
        for (var i = 0; i < Halvings; i++)
        {
            var middle = (low + high) / 2;
            if (positions.Interpolate(middle) < position)
                low = middle;
            else
                high = middle;
        }

        return 1 / (1 + Math.Exp(-(low + high) / 2));
    }

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) => _hours.Ticks(fromHours, toHours);

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) =>
        PlotTicks.At(PlotTicks.Fractions(fromFraction, toFraction), FractionToAxis);

    private IInterpolation Positions()
    {
        if (_positions is { } known)
            return known;
        var logits = Enumerable.Range(0, Points).Select(i => -End + 2 * End * i / (Points - 1)).ToArray();
        var fractions = logits.Select(x => 1 / (1 + Math.Exp(-x))).ToArray();
        var quantiles = new double[Points];
        family.Quantile(axes.StraightParameters, fractions, quantiles);
        var positions = quantiles.Select(_hours.Position).ToArray();
        for (var i = 0; i < Points; i++)
        {
            if (!double.IsFinite(positions[i]) || (i > 0 && !(positions[i] > positions[i - 1])))
                throw new LifeModelFailedException(family.Id, "its quantiles make no axis: they must rise and be finite on the scale of its hours.");
        }

        return _positions = CubicSpline.InterpolatePchipSorted(logits, positions);
    }
}
