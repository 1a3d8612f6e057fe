using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>How a life model draws, as a straight line where it has such axes.</summary>
/// <param name="HoursScale">Name of the scale of run-hours: <c>log</c> or <c>linear</c>.</param>
/// <param name="FractionScale">Name of the scale of the fraction failed.</param>
/// <param name="HoursTicks">Places to label on the horizontal axis, in run-hours.</param>
/// <param name="FractionTicks">Places to label on the vertical axis, as fractions failed.</param>
public sealed record PlotAxes(
    string HoursScale, string FractionScale, IReadOnlyList<PlotTick> HoursTicks, IReadOnlyList<PlotTick> FractionTicks);
