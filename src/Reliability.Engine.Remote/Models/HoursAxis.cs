using Reliability.Engine.Abstractions;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Models;

/// <summary>An axis of hours: log10 hours, or hours.</summary>
/// <param name="scale">Which.</param>
internal sealed class HoursAxis(HoursScale scale)
{
    public string Name => IsLog ? "log" : "linear";

    private bool IsLog => scale == HoursScale.Log;

    public double Position(double hours) => IsLog ? Math.Log10(hours) : hours;

    public double Hours(double position) => IsLog ? Math.Pow(10, position) : position;

    public IReadOnlyList<PlotTick> Ticks(double fromHours, double toHours) =>
        PlotTicks.At(IsLog ? PlotTicks.Logarithmic(fromHours, toHours) : PlotTicks.Linear(fromHours, toHours), Position);
}
