using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Everything needed to draw a fit on its model's own axes.</summary>
/// <param name="Axes">The axes.</param>
/// <param name="Line">The fitted line with bounds, in order of age.</param>
/// <param name="Marks">What was observed, in order of age.</param>
public sealed record FitPlot(PlotAxes Axes, IReadOnlyList<PlotPoint> Line, IReadOnlyList<ObservedMark> Marks);
