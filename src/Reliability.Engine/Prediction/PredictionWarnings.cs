using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Prediction;

/// <summary>
/// Where predictions of one unit hold less evenly than they say. Limits and figures are those of docs/validation/prediction.md.
/// </summary>
internal static class PredictionWarnings
{
    private const double Few = 10, FewWhenLate = 15, MostLate = 0.5;

    /// <summary>What should be known of a prediction.</summary>
    /// <param name="samples">The lives whose like are predicted, then those that share their shape.</param>
    public static IReadOnlyList<EngineWarning> Of(IReadOnlyList<LifeSample> samples)
    {
        var failures = samples[0].FailureCount;
        var isLate = PriorTilt.LateShare(samples[0]) > MostLate;
        if (failures >= (isLate ? FewWhenLate : Few))
            return [];
        var own = failures.ToString("G6", CultureInfo.InvariantCulture)
            + (samples.Count > 1 ? " of these lives' own (that the shape rests on others too was not studied)" : "");
        return
        [
            isLate
                ? new(
                    WarningCodes.PredictionLimited,
                    $"Failures predicted from: {own}, most lives seen from an age above 0 only. In our study intervals meant for 95 % held 91 to "
                    + "96 % where eight failures were expected, with the failure before them in up to 4.4 % and after them in up to 4.9 %.")
                : new(
                    WarningCodes.PredictionLimited,
                    $"Failures predicted from: {own}. In our study intervals meant for 95 % held 93 to 96 % where five failures were expected, with "
                    + "the failure before them in up to 4.2 % and after them in up to 3.8 % instead of 2.5 %."),
        ];
    }
}
