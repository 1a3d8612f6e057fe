using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Fitting;

/// <summary>What a reader should know of a fit as a whole. The limits are common practice, without a published source.</summary>
internal static class FitWarnings
{
    private const double FewFailures = 10;
    private const double HeavyCensoring = 0.9;

    public static List<EngineWarning> Of(LifeSample sample, BoundsMethod method = BoundsMethod.LikelihoodRatio) => Of(
        sample, IsForSmallSamples(method) ? ": bounds are wide." : ": bounds are wide and hold the truth less often than they say.", "rests on the model");

    /// <summary>The same of an estimate without a model, which says nothing beyond the ages seen.</summary>
    public static List<EngineWarning> WithoutModel(LifeSample sample, bool bounded) => Of(
        sample, bounded ? ": bounds are wide and hold the truth less often than they say." : ": the curve can be far off.", "is not told");

    private static List<EngineWarning> Of(LifeSample sample, string fewFailures, string beyond)
    {
        var warnings = new List<EngineWarning>();
        if (sample.FailureCount is > 0 and < FewFailures)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.FewFailures,
                $"Only {Text(sample.FailureCount)} {(sample.FailureCount == 1 ? "failure" : "failures")}{fewFailures}"));
        }

        if (sample.SurvivedCount > HeavyCensoring * sample.TotalCount && sample.FailureCount > 0)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.HeavyCensoring,
                $"{Text(sample.SurvivedCount)} of {Text(sample.TotalCount)} lives have not failed: what lies beyond the ages "
                + $"seen {beyond}."));
        }

        return warnings;
    }

    public static EngineWarning TerminationNotUsed { get; } = new(
        WarningCodes.TerminationNotUsed,
        "The observation is stated to have ended at a failure, but some lives failed between two ages or were watched from an age above 0: "
        + "bounds are those of a time-terminated sample.");

    public static EngineWarning FewForCalibration(double failures) => new(
        WarningCodes.CalibrationLimited,
        $"{Text(failures)} failures in a sample that was ended by time: over repeated studies with two failures or more, three expected, bounds "
        + "meant for 95 % held 94 to 98 %, with the truth below the lower one in 0 to 3 % and above the upper one in 2 to 4 %; given the count "
        + "that came out no method holds as often as it says.");

    public static EngineWarning FewToFailure(double failures) => new(
        WarningCodes.CalibrationLimited,
        $"{Text(failures)} failures in a sample that was ended by a failure: in our study bounds meant for 95 % held 92 to 94 % with two "
        + "failures, either side missed in up to 4.7 %, and 94 to 95 % with three. Exact bounds of parameters and percentile lives hold as they say here: ask for them.");

    public static EngineWarning CalibratedNearEnd { get; } = new(
        WarningCodes.CalibrationLimited,
        "Few failures, observation ended by time, and this lies near its end or beyond: in our study bounds meant for 95 % held 94 to 98 % "
        + "here, with the truth below the lower one in 0 to 3 % of samples. The lower bound is on the safe side.");

    public static EngineWarning OneFailure { get; } = new(
        WarningCodes.CalibrationLimited,
        "Calibrated bounds need two failures when two parameters are estimated; there are fewer. Bounds are by likelihood ratio: in simulated "
        + "Weibull samples with one failure those meant for 95 % held 92 to 100 %, with either side missed in 0 to 7 %.");

    public static EngineWarning AssumedParameter(string name, double value) => new(
        WarningCodes.AssumedParameter,
        $"{name} was not estimated but assumed to be {Text(value)}; every answer rests on that.");

    public static EngineWarning NoFailures(double level) => new(
        WarningCodes.NoFailures,
        $"No life has failed: there is no estimate, only one-sided bounds at {Text(level * 100)} % confidence.");

    public static EngineWarning Conservative(Termination termination) => new(
        WarningCodes.ConservativeBounds,
        (termination == Termination.Unspecified ? "How observation ended was not stated; taken as time-terminated. " : "")
        + "Chi-square bounds of a time-terminated sample hold at least as often as they say.");

    private static bool IsForSmallSamples(BoundsMethod method) => method is BoundsMethod.Calibrated or BoundsMethod.Exact;

    private static string Text(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
}
