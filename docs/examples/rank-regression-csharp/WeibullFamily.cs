using Reliability.PlugIn.V1;

namespace RankRegression;

/// <summary>The Weibull distribution: log R(t) is -(t / scale)^shape (Weibull 1951).</summary>
internal static class WeibullFamily
{
    // Beyond it exp() is more than a double holds.
    private const double LargestExponent = 709;

    /// <summary>What one batch asks for, at its parameters shape and scale.</summary>
    public static EvaluationResult At(EvaluationBatch batch)
    {
        var (shape, logScale) = (batch.Parameters[0], Math.Log(batch.Parameters[1]));
        var result = new EvaluationResult();
        result.LogDensities.Add(batch.DensityHours.Select(hours => LogDensity(Math.Log(hours) - logScale, shape, logScale)));
        result.LogSurvivals.Add(batch.SurvivalHours.Select(hours => -Math.Exp(shape * (Math.Log(hours) - logScale))));
        result.Quantiles.Add(batch.QuantileFractions.Select(fraction => Math.Exp(logScale + Math.Log(Hazard(fraction)) / shape)));
        return result;
    }

    /// <param name="z">log(t / scale).</param>
    private static double LogDensity(double z, double shape, double logScale) => shape * z > LargestExponent
        ? double.NegativeInfinity
        : Math.Log(shape) - logScale + (shape - 1) * z - Math.Exp(shape * z);

    /// <summary>-log(1 - p), exact for small p too (Goldberg 1991, theorem 4).</summary>
    private static double Hazard(double fraction)
    {
        var left = 1 - fraction;
        return left == 1 ? fraction : -Math.Log(left) * fraction / (1 - left);
    }
}
