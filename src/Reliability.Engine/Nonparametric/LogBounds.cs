using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>Normal bounds on the log scale of a positive estimate (Kalbfleisch and Prentice 2002, 1.4).</summary>
internal static class LogBounds
{
    public static BoundedEstimate Of(double value, double error, double multiple)
    {
        var factor = Math.Exp(multiple * error / value);
        return new BoundedEstimate
        {
            Value = value,
            Lower = value / factor,
            Upper = double.IsFinite(value * factor) ? value * factor : null,
            StandardError = error,
        };
    }
}
