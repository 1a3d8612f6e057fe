using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Remote.Models;

/// <summary>Round values to mark on axes.</summary>
internal static class PlotTicks
{
    private const double Slack = 1e-12;
    private const int Steps = 6;

    private static readonly double[] CustomaryFractions =
    [
        1e-6, 1e-5, 1e-4, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8,
        0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 0.9999,
    ];

    /// <summary>1, 2 and 5 times powers of ten.</summary>
    public static IEnumerable<double> Logarithmic(double from, double to)
    {
        if (!(from > 0 && from <= to && double.IsFinite(to)))
            yield break;
        for (var exponent = (int)Math.Floor(Math.Log10(from)); exponent <= Math.Log10(to); exponent++)
        {
            foreach (var digit in new[] { 1, 2, 5 })
            {
                var value = digit * Math.Pow(10, exponent);
                if (value >= from * (1 - Slack) && value <= to * (1 + Slack))
                    yield return value;
            }
        }
    }

    /// <summary>About six equal steps of 1, 2 or 5 times a power of ten.</summary>
    public static IEnumerable<double> Linear(double from, double to)
    {
        if (!(from < to && double.IsFinite(from) && double.IsFinite(to)))
            yield break;
        var rough = (to - from) / Steps;
        var power = Math.Pow(10, Math.Floor(Math.Log10(rough)));
        var step = (rough / power) switch { <= 1 => power, <= 2 => 2 * power, <= 5 => 5 * power, _ => 10 * power };
        for (var k = Math.Ceiling(from / step - Slack); k * step <= to * (1 + Slack); k++)
            yield return k * step;
    }

    /// <summary>Customary failed fractions.</summary>
    public static IEnumerable<double> Fractions(double from, double to) => CustomaryFractions.Where(f => f >= from && f <= to);

    /// <summary>Values as ticks.</summary>
    public static IReadOnlyList<PlotTick> At(IEnumerable<double> values, Func<double, double> position) =>
        [.. values.Select(value => new PlotTick(position(value), value))];
}
