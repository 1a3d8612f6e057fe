using System.Collections.Frozen;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Catalog;
using Reliability.Engine.Comparison;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Prediction;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Fitting;

/// <summary>Maximum likelihood for a log-location-scale family.</summary>
/// <typeparam name="T">The standard distribution of its log time.</typeparam>
internal sealed class LocationScaleModel<T> : ILifeModel, ICohortComparer, ILifePredictor
    where T : struct, IStandardDistribution
{
    private readonly LogLocationScaleFamily _family;
    private readonly bool _hasChiSquareBounds;

    /// <param name="family">The distribution.</param>
    /// <param name="hasChiSquareBounds">Whether chi-square bounds hold once u is known (Weibull and exponential).</param>
    public LocationScaleModel(LogLocationScaleFamily family, bool hasChiSquareBounds)
    {
        _family = family;
        _hasChiSquareBounds = hasChiSquareBounds;
        var parameterisation = family.Parameterisation;
        var estimated = new HashSet<BoundsMethod> { BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation };
        var held = new HashSet<BoundsMethod>(estimated);
        if (hasChiSquareBounds)
        {
            held.Add(BoundsMethod.Exact);
            if (parameterisation.ConstantU is not null)
                estimated.Add(BoundsMethod.Exact);
        }

        Description = new LifeModelDescription(
            family.Id,
            family.DisplayName,
            family.Parameters,
            new LifeModelCapabilities
            {
                SupportsIntervals = true,
                SupportsLateEntry = true,
                ScaleEquivariant = family.ScaleEquivariant,
                BoundsWithoutFailures = true,
                FixableParameters = parameterisation.FixableParameter is { } name
                    ? FrozenSet.Create(name)
                    : FrozenSet<string>.Empty,
                BoundsMethods = estimated.ToFrozenSet(),
                BoundsMethodsWithFixedParameters = parameterisation.FixableParameter is null
                    ? FrozenSet<BoundsMethod>.Empty
                    : held.ToFrozenSet(),
                ComparesCohorts = true,
                PredictsLives = true,
            },
            family.Plot,
            EngineVersion.Text,
            family.Source);
    }

    public LifeModelDescription Description { get; }

    public ILifeFamily Family => _family;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(sample);
        ArgumentNullException.ThrowIfNull(options);
        FitRequest.Check(Description, options);
        var parameterisation = _family.Parameterisation;
        var fixedU = parameterisation.ConstantU;
        var warnings = FitWarnings.Of(sample);
        foreach (var (name, value) in options.FixedParameters)
        {
            fixedU = parameterisation.FixedU(value);
            warnings.Add(FitWarnings.AssumedParameter(name, value));
        }

        if (fixedU is { } u && sample.RowCount > 0 && sample.FailureCount == 0)
            return FitWithoutFailures(sample, u, options, warnings, cancellationToken);
        if (Unestimable(sample, fixedU) is { } reason)
            return reason;
        if (options.BoundsMethod == BoundsMethod.Exact && sample.HasIntervals)
        {
            return new NotEstimable(
                NotEstimableReasons.IntervalOutcomes,
                "Chi-square bounds need failures at known ages; some are known only between two. Ask for likelihood-ratio bounds.");
        }

        var likelihood = LogTimeLikelihood.Create<T>(sample);
        if (!Maximise(likelihood, fixedU, cancellationToken).TryGet(out var maximum, out var noMaximum))
            return noMaximum;
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var bounds = BoundsOf(likelihood, space, sample, options, warnings, cancellationToken);
        return Estimable<IFittedLife>.Of(new FittedLocationScaleLife(
            Description, parameterisation, sample, space, bounds, options.BoundsMethod, options, warnings, cancellationToken));
    }

    public CohortComparison Compare(
        IReadOnlyList<LifeSample> cohorts, FitOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(cohorts);
        ArgumentNullException.ThrowIfNull(options);
        if (options.FixedParameters.Count > 0)
            throw new UnsupportedRequestException("fixed_parameters", "Nothing may be held when cohorts are compared.");
        if (cohorts.Count < 2)
            throw new UnsupportedRequestException("groups", "A comparison needs two or more cohorts.");
        FitRequest.Check(Description, options);
        return LocationScaleComparison.Compare(this, LogTimeLikelihood.Create<T>, cohorts, options, cancellationToken);
    }

    public Estimable<IPredictiveLife> Predict(
        LifeSample sample, IReadOnlyList<LifeSample> sameShape, FitOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(sample);
        ArgumentNullException.ThrowIfNull(sameShape);
        ArgumentNullException.ThrowIfNull(options);
        FitRequest.Check(Description, options);
        var held = ConstantU;
        foreach (var value in options.FixedParameters.Values)
            held = _family.Parameterisation.FixedU(value);
        if (held is { } u)
        {
            return LocationScalePredictor.PredictHolding(
                LogTimeLikelihood.Create<T>(sample), sample, u, options.Termination, cancellationToken);
        }

        return LocationScalePredictor.Predict(
            [.. sameShape.Prepend(sample).Select(s => (LogTimeLikelihood.Create<T>(s), s))], options.Termination, null, cancellationToken);
    }

    /// <summary>u where the model has no parameter for it.</summary>
    public double? ConstantU => _family.Parameterisation.ConstantU;

    /// <summary>Why the likelihood of these lives has no maximum; null when nothing speaks against one.</summary>
    public static NotEstimable? Unestimable(LifeSample sample, double? fixedU) =>
        fixedU is null ? Estimability.OfBothParameters(sample) : Estimability.OfScale(sample);

    /// <summary>The maximum of a likelihood, over v alone when u is held.</summary>
    public static Estimable<Maximum> Maximise(
        LogTimeLikelihood likelihood, double? fixedU, CancellationToken cancellationToken) =>
        fixedU is { } u
            ? Maximiser.MaximiseLocation(likelihood, u, cancellationToken)
            : Maximiser.Maximise(likelihood, cancellationToken);

    private IQuantityBounds BoundsOf(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, FitOptions options,
        List<EngineWarning> warnings, CancellationToken cancellationToken)
    {
        switch (options.BoundsMethod)
        {
            case BoundsMethod.NormalApproximation:
                return new NormalApproximationBounds(space, options.ConfidenceLevel);
            case BoundsMethod.Exact when _hasChiSquareBounds:
                if (options.Termination != Termination.FailureTerminated)
                    warnings.Add(FitWarnings.Conservative(options.Termination));
                var u = space.Maximum.U;
                var (lower, upper) = ChiSquareLocation.Bounds(
                    likelihood.Sample, u, options.ConfidenceLevel, options.Termination);
                return new LocationBounds(likelihood.Distribution, likelihood.Sample.Axis, u, lower, upper);
            default:
                var drop = ReferenceDistributions.ChiSquareQuantile(1, options.ConfidenceLevel) / 2;
                var region = new LikelihoodRegion(likelihood, space);
                if (!space.Maximum.IsOneParameter)
                    return new LikelihoodRatioBounds(region, drop, sample.RowCount, cancellationToken);
                var (lowerEnd, upperEnd) = region.LocationEnds(drop, cancellationToken);
                return new LocationBounds(
                    likelihood.Distribution, likelihood.Sample.Axis, space.Maximum.U, lowerEnd, upperEnd);
        }
    }

    private Estimable<IFittedLife> FitWithoutFailures(
        LifeSample sample, double u, FitOptions options, List<EngineWarning> warnings, CancellationToken cancellationToken)
    {
        var likelihood = LogTimeLikelihood.Create<T>(sample);
        var upperV = ZeroFailureLocation.UpperV(likelihood, u, options.ConfidenceLevel, cancellationToken);
        warnings.Add(FitWarnings.NoFailures(options.ConfidenceLevel));
        return Estimable<IFittedLife>.Of(new FittedLocationScaleLife(
            Description, _family.Parameterisation, sample, null,
            new LocationBounds(likelihood.Distribution, likelihood.Sample.Axis, u, null, upperV),
            BoundsMethod.Exact, options, warnings, cancellationToken));
    }
}
