using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Fitting;

/// <summary>
/// Where calibrated bounds of two parameters hold more often than they say: few failures, observation ended by time, and a question about
/// ages near or beyond its end. How many lives fail by then is itself left to chance, and with few of them no bounds hold evenly.
/// </summary>
/// <remarks>The limits and the figures are those of our own study, docs/validation/coverage.md.</remarks>
internal sealed class CalibrationLimits
{
    private const double Few = 10, NearEnd = 0.3;

    private readonly LogTimeLife _life;
    private readonly double _failedAtEnd;

    private CalibrationLimits(LogTimeLife life, double oldestHours) => (_life, _failedAtEnd) = (life, FailedBy(life, oldestHours));

    /// <summary>The limits for a sample; null where there are none.</summary>
    public static CalibrationLimits? Of(LifeSample sample, ParameterSpace space, ObservationPlan plan) =>
        plan.Termination == Termination.TimeTerminated && sample.FailureCount < Few
            ? new(space.LifeAt(0, 0), sample.OldestHours)
            : null;

    /// <summary>What to say of an answer about an age; null for nothing.</summary>
    public EngineWarning? At(double hours) => FailedBy(_life, hours) > NearEnd * _failedAtEnd ? FitWarnings.CalibratedNearEnd : null;

    private static double FailedBy(LogTimeLife life, double hours) =>
        -NearZero.Expm1(-Math.Exp(life.Distribution.LogCumulativeHazard(life.ZAt(life.Axis.ToX(hours)))));
}
