using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Wear;

/// <summary>log R(t) = -shape (exp(t / scale) - 1) (Gompertz 1825, in hours).</summary>
public sealed class GompertzFamily : ILifeFamily, IFamilyDerivatives
{
    public string Id => "gompertz";

    public string DisplayName => "Gompertz";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Positive("shape"), ParameterDescription.Positive("scale", "hours")];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; } = new LinearHazardScale();

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (shape, scale) = (parameters[0], parameters[1]);
        for (var i = 0; i < hours.Length; i++)
            result[i] = Math.Log(shape) - Math.Log(scale) + hours[i] / scale - shape * Grown(hours[i] / scale);
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        for (var i = 0; i < hours.Length; i++)
            result[i] = -parameters[0] * Grown(hours[i] / parameters[1]);
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var i = 0; i < fractions.Length; i++)
            result[i] = parameters[1] * Log1p(-Log1p(-fractions[i]) / parameters[0]);
    }

    public double? Mean(ReadOnlySpan<double> parameters) => null;

    public void LogDensityDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (shape, scale) = (parameters[0], parameters[1]);
        for (var i = 0; i < hours.Length; i++)
        {
            var z = hours[i] / scale;
            result[2 * i] = 1 / shape - Grown(z);
            result[2 * i + 1] = (-1 - z + shape * Math.Exp(z) * z) / scale;
        }
    }

    public void LogSurvivalDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (shape, scale) = (parameters[0], parameters[1]);
        for (var i = 0; i < hours.Length; i++)
        {
            var z = hours[i] / scale;
            result[2 * i] = -Grown(z);
            result[2 * i + 1] = shape * Math.Exp(z) * z / scale;
        }
    }

    // exp(z) - 1 and log(1 + x) that keep their digits near 0 (Higham 2002, 1.14).
    private static double Grown(double z)
    {
        var u = Math.Exp(z);
        return u == 1 ? z : Math.Abs(z) > 1 ? u - 1 : (u - 1) * z / Math.Log(u);
    }

    private static double Log1p(double x)
    {
        var u = 1 + x;
        return u == 1 ? x : double.IsInfinity(u) ? u : Math.Log(u) * x / (u - 1);
    }
}
