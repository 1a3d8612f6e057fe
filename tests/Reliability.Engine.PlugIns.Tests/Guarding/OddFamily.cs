using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Tests.Guarding;

/// <summary>An exponential distribution, of which a test may spoil any answer.</summary>
public sealed class OddFamily : ILifeFamily
{
    public string Id { get; init; } = "odd";

    public string DisplayName => "Odd";

    public IReadOnlyList<ParameterDescription> Parameters { get; init; } = [ParameterDescription.Positive("mean", "hours")];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; init; } = new SquarePlot();

    public Func<double, double> SpoilDensity { get; init; } = x => x;

    public Func<double, double> SpoilSurvival { get; init; } = x => x;

    public Func<double, double> SpoilQuantile { get; init; } = x => x;

    public Func<double, double?> SpoilMean { get; init; } = x => x;

    public Func<IReadOnlyList<double[]>> GiveStarts { get; init; } = () => [];

    public IReadOnlyList<double[]> Starts(LifeSample sample) => GiveStarts();

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = SpoilDensity(-Math.Log(parameters[0]) - hours[i] / parameters[0]);
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = SpoilSurvival(-hours[i] / parameters[0]);
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = SpoilQuantile(-parameters[0] * Math.Log(1 - fractions[i]));
    }

    public double? Mean(ReadOnlySpan<double> parameters) => SpoilMean(parameters[0]);

    /// <summary>Positions that are hours and fractions themselves.</summary>
    private sealed class SquarePlot : IPlotScale
    {
        public string HoursScale => "linear";

        public string FractionScale => "linear";

        public double HoursToAxis(double hours) => hours;

        public double AxisToHours(double position) => position;

        public double FractionToAxis(double fraction) => fraction;

        public double AxisToFraction(double position) => position;

        public IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours) => [];

        public IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction) => [];
    }
}
