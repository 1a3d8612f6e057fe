namespace Reliability.Reference;

/// <summary>The tolerances of the README, and what they apply to.</summary>
public static class Tolerance
{
    public const double Estimate = 1e-8;
    public const double Bound = 1e-7;
    public const double NumericalEstimate = 1e-6;
    public const double NumericalBound = 1e-5;
    public const double Nonparametric = 1e-10;
    public const double Turnbull = 1e-6;
    public const double Statistic = 1e-7;
    public const double PValue = 1e-6;

    /// <summary>|actual - expected| / max(|expected|, 1e-12); both absent is 0, one absent is infinite.</summary>
    public static double Relative(double? expected, double? actual) => (expected, actual) switch
    {
        (null, null) => 0,
        ({ } e, { } a) => Math.Abs(a - e) / Math.Max(Math.Abs(e), 1e-12),
        _ => double.PositiveInfinity,
    };

    /// <summary>Relative difference of a profile bound; of its logarithm where it exceeds 1e6 times the estimate.</summary>
    public static double ProfileBound(double? expected, double? actual, double? estimate) =>
        expected is { } e && actual is { } a && estimate is { } v && v > 0 && e > 1e6 * v
            ? Relative(Math.Log(e), Math.Log(a))
            : Relative(expected, actual);

    /// <summary>Difference of log-likelihoods relative to 1 + |l|.</summary>
    public static double LogLikelihood(double expected, double? actual) =>
        actual is { } a ? Math.Abs(a - expected) / (1 + Math.Abs(expected)) : double.PositiveInfinity;
}
