using System.Globalization;
using Reliability.DemoData.Scenario;
using Reliability.V1;

namespace Reliability.DemoData.Report;

/// <summary>Something that a fit answers and the truth states.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Decimals">How many decimals are shown.</param>
/// <param name="Truth">Its true value.</param>
/// <param name="Estimate">Its estimate with bounds; null when the answer has none.</param>
internal sealed record Quantity(
    string Name, int Decimals, Func<TrueLife, double> Truth, Func<LifeFit, Estimate?> Estimate)
{
    /// <summary>The age by which 10 % have failed. Answers must hold the fraction 0.10.</summary>
    public static Quantity B10Life { get; } =
        new("B10 life, h", 0, truth => truth.PercentileHours(0.10), fit => Percentile(fit, 0.10));

    /// <summary>What is shown of every condition of a family. Answers must hold the fractions 0.10 and 0.50 and the rated hours.</summary>
    public static IReadOnlyList<Quantity> Of(Family family) =>
    [
        new("shape", 2, truth => truth.Shape, fit => fit.Parameters.GetValueOrDefault("shape")),
        new("scale, h", 0, truth => truth.Scale, fit => fit.Parameters.GetValueOrDefault("scale")),
        new("mean life, h", 0, truth => truth.MeanHours, fit => fit.MeanLife),
        B10Life,
        new("median life, h", 0, truth => truth.PercentileHours(0.50), fit => Percentile(fit, 0.50)),
        ReliabilityAtRatedHours(family),
    ];

    /// <summary>The chance to outlast the rated hours of a family. Answers must hold them.</summary>
    public static Quantity ReliabilityAtRatedHours(Family family) => new(
        $"reliability at {Number(family.RatedHours, 0)} h",
        3,
        truth => truth.Reliability(family.RatedHours),
        fit => fit.Reliability.FirstOrDefault(point => Same(point.Hours, family.RatedHours))?.Probability);

    /// <summary>A number for people: thousands set off, decimals fixed.</summary>
    public static string Number(double value, int decimals) =>
        value.ToString("N" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static Estimate? Percentile(LifeFit fit, double failureFraction) =>
        fit.PercentileLives.FirstOrDefault(life => Same(life.FailureFraction, failureFraction))?.Hours;

    private static bool Same(double one, double other) => Math.Abs(one - other) <= 1e-12 * Math.Abs(other);
}
