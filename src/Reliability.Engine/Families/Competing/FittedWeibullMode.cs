using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>One failure mode of a series of Weibulls.</summary>
/// <param name="family">The whole.</param>
/// <param name="parameters">Its parameters.</param>
/// <param name="place">The place of the mode.</param>
/// <param name="life">The mode's own Weibull.</param>
internal sealed class FittedWeibullMode(
    SeriesWeibullFamily family, double[] parameters, int place, IFittedLife life) : IFittedMode
{
    private const double Step = 1.0 / 32;
    private const double LeastLogHazard = -40;
    private const int MostHalves = 100_000;

    public required string Name { get; init; }

    public required bool IsUnknown { get; init; }

    public required double FailureCount { get; init; }

    public IFittedLife Life { get; } = life;

    /// <summary>The integral of the mode's hazard times the reliability of all, over the log of the mode's own cumulative hazard, by
    /// Simpson's rule from where less than 1e-17 has failed.</summary>
    public double Incidence(double hours, CancellationToken cancellationToken = default)
    {
        var (shape, logScale) = (parameters[2 * place], Math.Log(parameters[2 * place + 1]));
        var end = shape * (Math.Log(hours) - logScale);
        if (!(end > LeastLogHazard))
            return 0;

        // Beyond a cumulative hazard of e^4 nothing is left.
        end = Math.Min(end, 4);
        // The steepest mode sets the pace.
        var steepest = shape;
        for (var k = 0; k < parameters.Length; k += 2)
            steepest = Math.Max(steepest, parameters[k]);
        var halves = 2 * (int)Math.Min(MostHalves, Math.Ceiling((end - LeastLogHazard) * steepest / shape / (2 * Step)));
        var width = (end - LeastLogHazard) / halves;
        var ages = new double[halves + 1];
        for (var i = 0; i <= halves; i++)
            ages[i] = Math.Exp(logScale + (LeastLogHazard + i * width) / shape);
        var logs = new double[ages.Length];
        family.LogSurvival(parameters, ages, logs);
        double sum = 0;
        for (var i = 0; i <= halves; i++)
        {
            var weight = i == 0 || i == halves ? 1 : i % 2 == 1 ? 4 : 2;
            sum += weight * Math.Exp(LeastLogHazard + i * width + logs[i]);
        }

        return Math.Clamp(sum * width / 3, 0, 1);
    }
}
