using System.Globalization;
using Reliability.Plots.Sheets;

namespace Reliability.Plots.Probability;

/// <summary>
/// The axis of run-hours. Answers carry a position beside each age but no ticks for ages, so the axis is recovered from
/// two of these pairs: position = offset + slope * log(hours), or of hours themselves.
/// </summary>
internal sealed class HoursAxis
{
    private readonly bool _isLog;
    private readonly double _offset;
    private readonly double _slope;

    private HoursAxis(bool isLog, double offset, double slope)
    {
        _isLog = isLog;
        _offset = offset;
        _slope = slope;
    }

    /// <summary>Recovers the axis from ages and their positions.</summary>
    /// <param name="scale">"log" or "linear".</param>
    /// <param name="places">Ages with their positions; at least two different ages above 0.</param>
    /// <returns>The axis.</returns>
    /// <exception cref="PlotException">The scale is not known, or the ages do not differ.</exception>
    public static HoursAxis From(string scale, IEnumerable<(double Hours, double Position)> places)
    {
        bool isLog = scale switch
        {
            "log" => true,
            "linear" => false,
            _ => throw new PlotException($"The scale of run-hours is \"{scale}\"; only \"log\" and \"linear\" can be drawn."),
        };
        List<(double Hours, double Position)> usable = [.. places.Where(p => p.Hours > 0).OrderBy(p => p.Hours)];
        if (usable.Count < 2 || usable[0].Hours >= usable[^1].Hours)
            throw new PlotException("There is nothing to draw: the answer holds fewer than two different ages.");
        double from = isLog ? Math.Log(usable[0].Hours) : usable[0].Hours;
        double to = isLog ? Math.Log(usable[^1].Hours) : usable[^1].Hours;
        double slope = (usable[^1].Position - usable[0].Position) / (to - from);
        return new HoursAxis(isLog, usable[0].Position - slope * from, slope);
    }

    /// <summary>Where an age lies.</summary>
    public double Position(double hours) => _offset + _slope * (_isLog ? Math.Log(hours) : hours);

    /// <summary>Labelled round ages within two positions, the most important first.</summary>
    public IReadOnlyList<AxisLabel> Ticks(double fromPosition, double toPosition)
    {
        double from = Hours(fromPosition);
        double to = Hours(toPosition);
        IEnumerable<double> hours = _isLog && to / from >= 5 ? RoundByDecade(from, to) : RoundByStep(from, to);
        return [.. hours.Select(h => new AxisLabel(Position(h), h.ToString("#,0.##########", CultureInfo.InvariantCulture)))];
    }

    private double Hours(double position)
    {
        double value = (position - _offset) / _slope;
        return _isLog ? Math.Exp(value) : value;
    }

    // Powers of ten come first: where room is short the later ones are left out.
    private static IEnumerable<double> RoundByDecade(double from, double to)
    {
        double decades = Math.Log10(to / from);
        double[] steps = decades > 4 ? [1] : decades > 2 ? [1, 5, 2] : [1, 5, 2, 3, 7, 1.5, 4, 6, 8];
        int least = (int)Math.Floor(Math.Log10(from));
        int greatest = (int)Math.Ceiling(Math.Log10(to));
        return steps
            .SelectMany(step => Enumerable.Range(least, greatest - least + 1).Select(power => step * Math.Pow(10, power)))
            .Where(hours => hours >= from && hours <= to);
    }

    private static IEnumerable<double> RoundByStep(double from, double to)
    {
        double step = RoundStep.For(to - from, 8);
        long first = (long)Math.Ceiling(Math.Max(from, 0) / step);
        long last = (long)Math.Floor(to / step);
        for (long i = first; i <= last; i++)
            yield return i * step;
    }
}
