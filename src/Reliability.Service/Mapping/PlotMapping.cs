using Reliability.Analysis;
using Reliability.Engine.Abstractions;

namespace Reliability.Service.Mapping;

/// <summary>What is needed to draw a fit.</summary>
internal static class PlotMapping
{
    public static V1.FitPlot ToWire(FitPlot plot)
    {
        var axes = new V1.PlotAxes { HoursScale = plot.Axes.HoursScale, FractionScale = plot.Axes.FractionScale };
        axes.FractionTicks.AddRange(plot.Axes.FractionTicks.Select(tick =>
            new V1.AxisTick { Fraction = tick.Value, Position = tick.Position }));
        var wire = new V1.FitPlot { Axes = axes, MarksMethod = SurvivalMapping.ToWire(plot.Method) };
        wire.Line.AddRange(plot.Line.Select(ToWire));
        wire.Marks.AddRange(plot.Marks.Select(ToWire));
        return wire;
    }

    private static V1.PlotPoint ToWire(PlotPoint point)
    {
        var position = new V1.Estimate { BoundSide = EstimateMapping.ToWire(point.FailedFraction).BoundSide };
        if (point.AxisFraction is { } value)
            position.Value = value;
        if (point.AxisLower is { } lower)
            position.Lower = lower;
        if (point.AxisUpper is { } upper)
            position.Upper = upper;
        return new()
        {
            Hours = point.Hours,
            FailureFraction = EstimateMapping.ToWire(point.FailedFraction),
            HoursPosition = point.AxisHours,
            FractionPosition = position,
        };
    }

    private static V1.ObservedMark ToWire(ObservedMark mark)
    {
        var wire = new V1.ObservedMark
        {
            Hours = mark.Hours,
            FailureFraction = mark.FailureFraction,
            HoursPosition = mark.AxisHours,
            FractionPosition = mark.AxisFraction,
            Count = mark.Count,
        };
        if (mark.UpperHours is { } upper)
            wire.UpperHours = upper;
        if (mark.AxisUpperHours is { } upperPosition)
            wire.UpperHoursPosition = upperPosition;
        return wire;
    }
}
