using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Bounds.Exact;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;
using Reliability.Engine.Resampling;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Fitting;

/// <summary>The way of making bounds that a request asks for, and the plan it takes for granted.</summary>
/// <param name="Bounds">The way.</param>
/// <param name="Plan">The plan; null where the way does not depend on one.</param>
internal sealed record BoundsChoice(IQuantityBounds Bounds, ObservationPlan? Plan)
{
    /// <summary>What simulated bounds rest on; null for others.</summary>
    public SimulatedBounds? Simulation { get; init; }

    /// <summary>What the way is called, where it is not the one asked for.</summary>
    public BoundsMethod? OtherMethod { get; init; }

    /// <summary>Where calibrated bounds hold more often than they say; null for nowhere.</summary>
    public CalibrationLimits? Limits { get; init; }

    /// <summary>Calibrated bounds of two parameters are made from so many failures on.</summary>
    public const double FewestFailures = 2;

    /// <summary>From so many failures on, likelihood-ratio bounds hold as often as calibrated ones.</summary>
    public const double ManyFailures = 5000;

    private const int ManyRows = 1000;
    private const double EnoughForOneStep = 50, FewForTimeTerminated = 5, FewForFailureTerminated = 4;

    /// <summary>Chooses by the options of a fit, and adds what should be known of it to the warnings.</summary>
    public static Estimable<BoundsChoice> Of(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, FitOptions options, List<EngineWarning> warnings,
        CancellationToken cancellationToken)
    {
        switch (options.BoundsMethod)
        {
            case BoundsMethod.NormalApproximation:
                return new BoundsChoice(new NormalApproximationBounds(space, options.ConfidenceLevel), null);
            case BoundsMethod.Bootstrap:
                return BootstrapChoice.Of(likelihood, space, sample, options, warnings, cancellationToken);
            case BoundsMethod.Exact when !space.Maximum.IsOneParameter:
                return ExactChoice.Of(likelihood, space, sample, options, cancellationToken);
            case BoundsMethod.Exact:
                return ChiSquare(likelihood, space, options, warnings);
            case BoundsMethod.Calibrated when !space.Maximum.IsOneParameter && sample.FailureCount < FewestFailures:
                warnings.Add(FitWarnings.OneFailure);
                return new BoundsChoice(LikelihoodRatio(likelihood, space, sample, options, cancellationToken), null)
                {
                    OtherMethod = BoundsMethod.LikelihoodRatio,
                };
            case BoundsMethod.Calibrated:
                return Calibrated(likelihood, space, sample, options, warnings, cancellationToken);
            default:
                return new BoundsChoice(LikelihoodRatio(likelihood, space, sample, options, cancellationToken), null);
        }
    }

    private static BoundsChoice ChiSquare(
        LogTimeLikelihood likelihood, ParameterSpace space, FitOptions options, List<EngineWarning> warnings)
    {
        if (options.Termination != Termination.FailureTerminated)
            warnings.Add(FitWarnings.Conservative(options.Termination));
        var u = space.Maximum.U;
        var (lower, upper) = ChiSquareLocation.Bounds(likelihood.Sample, u, options.ConfidenceLevel, options.Termination);
        var plan = options.Termination == Termination.Unspecified
            ? new ObservationPlan(Termination.TimeTerminated, PlanBasis.Assumed, PlannedEndSource.NotNeeded)
            : new ObservationPlan(options.Termination, PlanBasis.Stated, PlannedEndSource.NotNeeded);
        return new(new LocationBounds(likelihood.Distribution, likelihood.Sample.Axis, u, lower, upper), plan);
    }

    private static IQuantityBounds LikelihoodRatio(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, FitOptions options, CancellationToken cancellationToken)
    {
        var drop = Drop(options);
        var region = new LikelihoodRegion(likelihood, space);
        if (!space.Maximum.IsOneParameter)
            return new LikelihoodRatioBounds(region, drop, sample.RowCount, cancellationToken);
        var (lower, upper) = region.LocationEnds(drop, cancellationToken);
        return new LocationBounds(likelihood.Distribution, likelihood.Sample.Axis, space.Maximum.U, lower, upper);
    }

    private static BoundsChoice Calibrated(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, FitOptions options, List<EngineWarning> warnings,
        CancellationToken cancellationToken)
    {
        var plan = PlanDetection.Of(sample, options.Termination);
        if (plan.Termination != options.Termination && options.Termination != Termination.Unspecified)
            warnings.Add(FitWarnings.TerminationNotUsed);
        if (plan.Termination == Termination.TimeTerminated && sample.FailureCount < FewForTimeTerminated)
            warnings.Add(FitWarnings.FewForCalibration(sample.FailureCount));
        if (plan.Termination == Termination.FailureTerminated && sample.FailureCount < FewForFailureTerminated && !space.Maximum.IsOneParameter)
            warnings.Add(FitWarnings.FewToFailure(sample.FailureCount));
        var outcomes = new Lazy<ExpectedOutcomes?>(() => Outcomes(likelihood, space.Maximum, sample, plan));
        if (space.Maximum.IsOneParameter)
            return new(CalibratedLocation(likelihood, space, outcomes.Value, options, cancellationToken), plan);
        if (IsLarge(sample.RowCount, sample.FailureCount))
        {
            var ratio = LikelihoodRatio(likelihood, space, sample, options, cancellationToken);
            return new(
                sample.FailureCount >= ManyFailures
                    ? ratio
                    : new LargeSampleCalibratedBounds(ratio, likelihood, space, outcomes, options.ConfidenceLevel),
                plan);
        }

        var instead = new SignedRootInstead(
            likelihood, space, sample, plan, options, new LikelihoodRatioInstead(new LikelihoodRegion(likelihood, space), Drop(options)));
        return new(new CalibratedBounds(likelihood, space, outcomes.Value, options.ConfidenceLevel, instead), plan)
        {
            Limits = CalibrationLimits.Of(sample, space, plan),
        };
    }

    /// <summary>Whether likelihood-ratio bounds are so near to calibrated ones that one step makes up for the rest.</summary>
    public static bool IsLarge(int rows, double failures) => failures >= ManyFailures || (rows >= ManyRows && failures >= EnoughForOneStep);

    /// <summary>What the lives may come to; null when the form for failure-terminated samples does without.</summary>
    public static ExpectedOutcomes? Outcomes(LogTimeLikelihood likelihood, Maximum maximum, LifeSample sample, ObservationPlan plan)
    {
        if (plan.Termination == Termination.FailureTerminated)
            return null;
        var axis = likelihood.Sample.Axis;
        return ExpectedOutcomes.Of(
            likelihood.Distribution, CensoringPlan.Of(sample, axis), Inspections.Of(sample, axis), (maximum.U, maximum.V));
    }

    /// <summary>
    /// Makes r* of a quantity, for estimates corrected for small samples; null where one parameter is estimated, fewer than two lives
    /// failed, or so many that the correction is lost in the standard error.
    /// </summary>
    public static Func<LifeQuantity, AdjustedRoot>? Adjusted(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, Termination termination) =>
        space.Maximum.IsOneParameter || sample.FailureCount is < FewestFailures or >= ManyFailures
            ? null
            : quantity => new AdjustedQuantityRoot(
                likelihood, space, quantity,
                Outcomes(likelihood, space.Maximum, sample, PlanDetection.Of(sample, termination)));

    private static LocationBounds CalibratedLocation(
        LogTimeLikelihood likelihood, ParameterSpace space, ExpectedOutcomes? outcomes, FitOptions options,
        CancellationToken cancellationToken)
    {
        var root = new AdjustedLocationRoot(likelihood, space.Maximum, outcomes);
        var normal = -default(StandardNormal).Quantile((1 - options.ConfidenceLevel) / 2);
        var lower = RootCrossing.Outward(root, normal, -1, cancellationToken);
        var upper = RootCrossing.Outward(root, normal, 1, cancellationToken);
        EngineWarning? note = null;
        if (lower is null || upper is null)
        {
            var (least, greatest) = new LikelihoodRegion(likelihood, space).LocationEnds(Drop(options), cancellationToken);
            (lower, upper, note) = (lower ?? least, upper ?? greatest, LikelihoodRatioInstead.Note);
        }

        return new(likelihood.Distribution, likelihood.Sample.Axis, space.Maximum.U, lower, upper) { Note = note };
    }

    private static double Drop(FitOptions options) => ReferenceDistributions.ChiSquareQuantile(1, options.ConfidenceLevel) / 2;
}
