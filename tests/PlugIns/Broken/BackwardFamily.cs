using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Broken;

/// <summary>An exponential whose quantiles go back.</summary>
public sealed class BackwardFamily : ILifeFamily, IPlotScale
{
    public string Id => "backward";

    public string DisplayName => "Backward";

    public IReadOnlyList<ParameterDescription> Parameters { get; } = [ParameterDescription.Positive("mean", "hours")];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot => this;

    public string HoursScale => "linear";

    public string FractionScale => "linear";

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = -Math.Log(parameters[0]) - hours[i] / parameters[0];
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = -hours[i] / parameters[0];
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = -parameters[0] * Math.Log(fractions[i]);
    }

    public double? Mean(ReadOnlySpan<double> parameters) => parameters[0];

    public double HoursToAxis(double hours) => hours;

    public double AxisToHours(double position) => position;

    public double FractionToAxis(double fraction) => fraction;

    public double AxisToFraction(double position) => position;

    public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) => [];

    public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) => [];
}
