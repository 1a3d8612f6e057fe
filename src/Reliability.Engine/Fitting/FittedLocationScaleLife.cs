using System.Collections.Frozen;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Fitting;

/// <summary>A fitted log-location-scale family: answers questions by the quantity asked and the way bounds are made.</summary>
internal sealed class FittedLocationScaleLife : FittedLife, IFittedLife
{
    private readonly Parameterisation _parameterisation;
    private readonly ParameterSpace? _space;
    private readonly BoundsChoice _choice;
    private readonly BoundSide _side;

    /// <param name="model">Description of the model.</param>
    /// <param name="parameterisation">Its named parameters.</param>
    /// <param name="sample">The lives fitted.</param>
    /// <param name="space">The estimate and its covariance; null when no life failed.</param>
    /// <param name="choice">How bounds are made.</param>
    /// <param name="options">The options of the fit.</param>
    /// <param name="warnings">What holds for the whole fit.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public FittedLocationScaleLife(
        LifeModelDescription model, Parameterisation parameterisation, LifeSample sample, ParameterSpace? space,
        BoundsChoice choice, FitOptions options, IReadOnlyList<EngineWarning> warnings,
        CancellationToken cancellationToken)
        : base(model, sample)
    {
        _parameterisation = parameterisation;
        _space = space;
        _choice = choice;
        _side = space is null ? BoundSide.Lower : BoundSide.Both;
        BoundsMethod = choice.OtherMethod ?? options.BoundsMethod;
        ConfidenceLevel = options.ConfidenceLevel;
        Warnings = warnings;
        LogLikelihood = space?.Maximum.Value;
        Parameters = EstimateParameters(options, cancellationToken);
        Covariance = space is null ? [] : CovarianceOf(space);
    }

    public override BoundsMethod BoundsMethod { get; }

    public override double ConfidenceLevel { get; }

    public override IReadOnlyList<ParameterEstimate> Parameters { get; }

    public override IReadOnlyList<double> Covariance { get; }

    public override double? LogLikelihood { get; }

    public override IReadOnlyList<EngineWarning> Warnings { get; }

    public ObservationPlan? Plan => _choice.Plan;

    public SimulatedBounds? Simulation => _choice.Simulation;

    /// <summary>r* of the parameter that u stands for, for its bias-corrected value; null where there is none.</summary>
    public Func<LifeQuantity, AdjustedRoot>? Adjusted { get; init; }

    public IReadOnlyDictionary<string, double> MedianUnbiased(CancellationToken cancellationToken = default)
    {
        var index = _parameterisation.FixableIndex;
        if (index < 0 || Parameters[index].IsFixed || Adjusted is null)
            return FrozenDictionary<string, double>.Empty;
        var quantity = _parameterisation.Quantities[index];
        return Adjusted(quantity) is { } root && RootCrossing.Middle(root, cancellationToken) is { } middle
            && double.IsFinite(quantity.Natural(middle))
            ? new Dictionary<string, double> { [Parameters[index].Name] = quantity.Natural(middle) }
            : FrozenDictionary<string, double>.Empty;
    }

    protected override BoundedEstimate AskMean(CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.Mean, mean => mean, cancellationToken);

    protected override BoundedEstimate AskPercentile(double fraction, CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.Percentile(fraction), life => life, cancellationToken);

    protected override BoundedEstimate AskReliability(double hours, CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.Reliability(hours), _ => hours, cancellationToken);

    protected override BoundedEstimate AskFailedFraction(double hours, CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.FailedFraction(hours), _ => hours, cancellationToken);

    protected override BoundedEstimate AskConditionalReliability(double age, double horizon, CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.ConditionalReliability(age, horizon), _ => age + horizon, cancellationToken);

    protected override BoundedEstimate AskRemainingLife(double age, double fraction, CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.RemainingLife(age, fraction), remaining => age + remaining, cancellationToken);

    protected override BoundedEstimate AskMeanRemainingLife(double age, CancellationToken cancellationToken) =>
        Estimate(LifeQuantities.MeanRemainingLife(age), remaining => age + remaining, cancellationToken);

    /// <param name="quantity">The quantity.</param>
    /// <param name="ageOf">The age that its value speaks of.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    private BoundedEstimate Estimate(LifeQuantity quantity, Func<double, double> ageOf, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        var builder = new EstimateBuilder(quantity.Scale, _side);
        if (_space is { } space)
            builder.Value(quantity.Transformed(space.LifeAt(0, 0)), space.StandardError(quantity));
        builder.Bounds(_choice.Bounds.Of(quantity, cancellationToken));
        var estimate = builder.Build();
        return estimate.Value is { } value && _choice.Limits?.At(ageOf(value)) is { } limit
            ? estimate with { Notes = [.. estimate.Notes, limit] }
            : estimate;
    }

    private ParameterEstimate[] EstimateParameters(FitOptions options, CancellationToken cancellationToken)
    {
        var parameters = new ParameterEstimate[_parameterisation.Parameters.Count];
        for (var i = 0; i < parameters.Length; i++)
        {
            var name = _parameterisation.Parameters[i].Name;
            parameters[i] = options.FixedParameters.TryGetValue(name, out var value)
                ? new ParameterEstimate(name, new BoundedEstimate { Value = value }, true)
                : new ParameterEstimate(name, Estimate(_parameterisation.Quantities[i], AgeOf(_parameterisation.Quantities[i]), cancellationToken), false);
        }

        return parameters;
    }

    // A location is a log age, a shape speaks of none.
    private static Func<double, double> AgeOf(LifeQuantity parameter) => parameter switch
    {
        { DependsOnV: false } => _ => 0,
        { Scale: QuantityScale.Identity } => Math.Exp,
        _ => age => age,
    };

    private double[] CovarianceOf(ParameterSpace space)
    {
        var jacobian = _parameterisation.Jacobian(space.LifeAt(0, 0));
        var maximum = space.Maximum;
        var size = jacobian.Count;
        var covariance = new double[size * size];
        for (var i = 0; i < size; i++)
        {
            for (var j = 0; j < size; j++)
            {
                var (iu, iv) = jacobian[i];
                var (ju, jv) = jacobian[j];
                covariance[i * size + j] = maximum.IsOneParameter
                    ? FixedAware(i, iv) * FixedAware(j, jv) * maximum.CovarianceVV
                    : iu * ju * maximum.CovarianceUU + (iu * jv + iv * ju) * maximum.CovarianceUV
                        + iv * jv * maximum.CovarianceVV;
            }
        }

        return Array.TrueForAll(covariance, double.IsFinite) ? covariance : [];

        double FixedAware(int index, double byV) => Parameters[index].IsFixed ? 0 : byV;
    }
}
