using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Everything needed to draw a fit on its model's own axes.</summary>
/// <param name="Axes">The axes.</param>
/// <param name="Line">The fitted line with bounds, in order of age.</param>
/// <param name="Marks">What was observed, in order of age.</param>
/// <param name="Method">The estimate that gave the marks their fractions; null where there are none.</param>
public sealed record FitPlot(PlotAxes Axes, IReadOnlyList<PlotPoint> Line, IReadOnlyList<ObservedMark> Marks, SurvivalMethod? Method);
