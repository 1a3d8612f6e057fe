using System.Collections.Frozen;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Catalog;
using Reliability.Engine.Comparison;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Prediction;

namespace Reliability.Engine.Fitting;

/// <summary>Maximum likelihood for a log-location-scale family.</summary>
/// <typeparam name="T">The standard distribution of its log time.</typeparam>
internal sealed class LocationScaleModel<T> : ILifeModel, ICohortComparer, ILifePredictor
    where T : struct, IStandardDistribution
{
    private readonly LogLocationScaleFamily _family;

    /// <param name="family">The distribution.</param>
    /// <param name="hasChiSquareBounds">Whether chi-square bounds hold once u is known (Weibull and exponential).</param>
    public LocationScaleModel(LogLocationScaleFamily family, bool hasChiSquareBounds)
    {
        _family = family;
        var parameterisation = family.Parameterisation;
        var held = new HashSet<BoundsMethod>
        {
            BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation, BoundsMethod.Calibrated, BoundsMethod.Bootstrap,
        };
        var estimated = new HashSet<BoundsMethod>(held) { BoundsMethod.Exact };
        if (hasChiSquareBounds)
            held.Add(BoundsMethod.Exact);

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
            family.Source)
        {
            PlugIn = EngineVersion.BuiltIn,
        };
    }

    public LifeModelDescription Description { get; }

    public ILifeFamily Family => _family;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        FitRequest.Check(Description, sample, options);
        var parameterisation = _family.Parameterisation;
        var fixedU = parameterisation.ConstantU;
        var warnings = FitWarnings.Of(sample, options.BoundsMethod);
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
                "Exact bounds need failures at known ages; some are known only between two. Ask for likelihood-ratio bounds.");
        }

        var likelihood = LogTimeLikelihood.Create<T>(sample);
        if (!Maximise(likelihood, fixedU, cancellationToken).TryGet(out var maximum, out var noMaximum))
            return noMaximum;
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        if (!BoundsChoice.Of(likelihood, space, sample, options, warnings, cancellationToken).TryGet(out var chosen, out var noBounds))
            return noBounds;
        return Estimable<IFittedLife>.Of(new FittedLocationScaleLife(
            Description, parameterisation, sample, space, chosen, options, warnings, cancellationToken)
        {
            Adjusted = BoundsChoice.Adjusted(likelihood, space, sample, options.Termination),
        });
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
        FitRequest.Check(Description, sample, options);
        ArgumentNullException.ThrowIfNull(sameShape);
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

    private Estimable<IFittedLife> FitWithoutFailures(
        LifeSample sample, double u, FitOptions options, List<EngineWarning> warnings, CancellationToken cancellationToken)
    {
        var likelihood = LogTimeLikelihood.Create<T>(sample);
        var upperV = ZeroFailureLocation.UpperV(likelihood, u, options.ConfidenceLevel, cancellationToken);
        warnings.Add(FitWarnings.NoFailures(options.ConfidenceLevel));
        return Estimable<IFittedLife>.Of(new FittedLocationScaleLife(
            Description, _family.Parameterisation, sample, null,
            new BoundsChoice(new LocationBounds(likelihood.Distribution, likelihood.Sample.Axis, u, null, upperV), null)
            {
                OtherMethod = BoundsMethod.Exact,
            },
            options, warnings, cancellationToken));
    }
}
