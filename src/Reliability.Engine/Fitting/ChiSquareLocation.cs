using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Fitting;

/// <summary>
/// Chi-square bounds of the Weibull scale with the shape held. With S = sum of t^shape - entry^shape over all lives and r
/// failures, 2 S / scale^shape is chi-square with 2r degrees of freedom when observation ended at a failure; with 2r + 2
/// for the lower life bound of a time-terminated sample, which then holds at least as often as it says
/// (IEC 61649:2008; Lawless 2003, 4.1).
/// </summary>
internal static class ChiSquareLocation
{
    /// <summary>Bounds of v; e^v is (reference / scale)^shape.</summary>
    public static (double? Lower, double? Upper) Bounds(
        LogTimeSample sample, double shape, double level, Termination termination)
    {
        var logExposure = LogExposure(sample, shape);
        var failures = sample.TotalFailed;
        var tail = (1 - level) / 2;
        var degrees = termination == Termination.FailureTerminated ? 2 * failures : 2 * failures + 2;
        var upper = Math.Log(ReferenceDistributions.ChiSquareQuantile(degrees, 1 - tail) / 2) - logExposure;
        var lower = Math.Log(ReferenceDistributions.ChiSquareQuantile(2 * failures, tail) / 2) - logExposure;
        return (lower, upper);
    }

    /// <summary>log of the sum of (t / reference)^shape - (entry / reference)^shape.</summary>
    private static double LogExposure(LogTimeSample sample, double shape)
    {
        var exposure = PowerSum(sample.FailedX, sample.FailedCount, shape)
            + PowerSum(sample.SurvivedX, sample.SurvivedCount, shape)
            - PowerSum(sample.EntryX, sample.EntryCount, shape);
        return Math.Log(exposure);
    }

    private static double PowerSum(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double shape)
    {
        double sum = 0;
        for (var i = 0; i < x.Length; i++)
            sum += count[i] * Math.Exp(shape * x[i]);
        return sum;
    }
}
