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
    /// <summary>What is shown of every condition of a family. Answers must hold the fractions 0.10 and 0.50 and the rated hours.</summary>
    public static IReadOnlyList<Quantity> Of(Family family) =>
    [
        new("shape", 2, truth => truth.Shape, fit => fit.Parameters.GetValueOrDefault("shape")),
        new("scale, h", 0, truth => truth.Scale, fit => fit.Parameters.GetValueOrDefault("scale")),
        new("mean life, h", 0, truth => truth.MeanHours, fit => fit.MeanLife),
        new("B10 life, h", 0, truth => truth.PercentileHours(0.10), fit => Percentile(fit, 0.10)),
        new("median life, h", 0, truth => truth.PercentileHours(0.50), fit => Percentile(fit, 0.50)),
        new(
            $"reliability at {Number(family.RatedHours, 0)} h",
            3,
            truth => truth.Reliability(family.RatedHours),
            fit => ReliabilityAt(fit, family.RatedHours)),
    ];

    /// <summary>The age by which a fraction has failed; null when the fit does not hold it.</summary>
    public static Estimate? Percentile(LifeFit fit, double failureFraction) =>
        fit.PercentileLives.FirstOrDefault(life => Same(life.FailureFraction, failureFraction))?.Hours;

    /// <summary>The chance to outlast an age; null when the fit does not hold it.</summary>
    public static Estimate? ReliabilityAt(LifeFit fit, double hours) =>
        fit.Reliability.FirstOrDefault(point => Same(point.Hours, hours))?.Probability;

    /// <summary>A number for people: thousands set off, decimals fixed.</summary>
    public static string Number(double value, int decimals) =>
        value.ToString("N" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static bool Same(double one, double other) => Math.Abs(one - other) <= 1e-12 * Math.Abs(other);
}
