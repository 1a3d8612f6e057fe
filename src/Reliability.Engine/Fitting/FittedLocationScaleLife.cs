using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Fitting;

/// <summary>A fitted log-location-scale family: answers questions by the quantity asked and the way bounds are made.</summary>
internal sealed class FittedLocationScaleLife : IFittedLife
{
    private readonly Parameterisation _parameterisation;
    private readonly ParameterSpace? _space;
    private readonly IQuantityBounds _bounds;
    private readonly BoundSide _side;
    private readonly double _oldestHours;
    private readonly double _totalCount;

    /// <param name="model">Description of the model.</param>
    /// <param name="parameterisation">Its named parameters.</param>
    /// <param name="sample">The lives fitted.</param>
    /// <param name="space">The estimate and its covariance; null when no life failed.</param>
    /// <param name="bounds">How bounds are made.</param>
    /// <param name="method">What that way is called.</param>
    /// <param name="options">The options of the fit.</param>
    /// <param name="warnings">What holds for the whole fit.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public FittedLocationScaleLife(
        LifeModelDescription model, Parameterisation parameterisation, LifeSample sample, ParameterSpace? space,
        IQuantityBounds bounds, BoundsMethod method, FitOptions options, IReadOnlyList<EngineWarning> warnings,
        CancellationToken cancellationToken)
    {
        Model = model;
        _parameterisation = parameterisation;
        _space = space;
        _bounds = bounds;
        _side = space is null ? BoundSide.Lower : BoundSide.Both;
        _oldestHours = sample.OldestHours;
        _totalCount = sample.TotalCount;
        BoundsMethod = method;
        ConfidenceLevel = options.ConfidenceLevel;
        Warnings = warnings;
        LogLikelihood = space?.Maximum.Value;
        Parameters = EstimateParameters(options, cancellationToken);
        Covariance = space is null ? [] : CovarianceOf(space);
    }

    public LifeModelDescription Model { get; }

    public BoundsMethod BoundsMethod { get; }

    public double ConfidenceLevel { get; }

    public IReadOnlyList<ParameterEstimate> Parameters { get; }

    public IReadOnlyList<double> Covariance { get; }

    public double? LogLikelihood { get; }

    public IReadOnlyList<EngineWarning> Warnings { get; }

    public BoundedEstimate Mean(CancellationToken cancellationToken = default)
    {
        var mean = Estimate(LifeQuantities.Mean, cancellationToken);
        return (mean.Value ?? mean.Lower) > _oldestHours ? Beyond(mean) : mean;
    }

    public BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
    {
        CheckFraction(failureFraction);
        var life = Estimate(LifeQuantities.Percentile(failureFraction), cancellationToken);
        if ((life.Value ?? life.Lower) > _oldestHours)
            return Beyond(life);
        return failureFraction < 1 / (2 * _totalCount)
            ? life with
            {
                Notes = [.. life.Notes, new EngineWarning(
                    WarningCodes.Extrapolation,
                    "The fraction is below 1/(2n): so early a life has hardly been observed, and the answer rests on the model.")],
            }
            : life;
    }

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default)
    {
        CheckHours(hours, nameof(hours));
        if (hours == 0)
            return Certain();
        var reliability = Estimate(LifeQuantities.Reliability(hours), cancellationToken);
        return hours > _oldestHours ? Beyond(reliability) : reliability;
    }

    public BoundedEstimate ConditionalReliability(
        double ageHours, double horizonHours, CancellationToken cancellationToken = default)
    {
        CheckHours(ageHours, nameof(ageHours));
        CheckHours(horizonHours, nameof(horizonHours));
        if (ageHours == 0)
            return Reliability(horizonHours, cancellationToken);
        if (horizonHours == 0)
            return Certain();
        var reliability = Estimate(LifeQuantities.ConditionalReliability(ageHours, horizonHours), cancellationToken);
        return ageHours + horizonHours > _oldestHours ? Beyond(reliability) : reliability;
    }

    public BoundedEstimate RemainingLife(
        double ageHours, double failureFraction, CancellationToken cancellationToken = default)
    {
        CheckHours(ageHours, nameof(ageHours));
        CheckFraction(failureFraction);
        if (ageHours == 0)
            return PercentileLife(failureFraction, cancellationToken);
        var remaining = Estimate(LifeQuantities.RemainingLife(ageHours, failureFraction), cancellationToken);
        return ageHours + (remaining.Value ?? remaining.Lower) > _oldestHours ? Beyond(remaining) : remaining;
    }

    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default)
    {
        CheckHours(ageHours, nameof(ageHours));
        if (ageHours == 0)
            return Mean(cancellationToken);
        var remaining = Estimate(LifeQuantities.MeanRemainingLife(ageHours), cancellationToken);
        return ageHours + (remaining.Value ?? remaining.Lower) > _oldestHours ? Beyond(remaining) : remaining;
    }

    public IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(hours);
        var points = new PlotPoint[hours.Count];
        for (var i = 0; i < points.Length; i++)
        {
            var at = hours[i];
            if (!double.IsFinite(at) || at <= 0)
                throw new ArgumentOutOfRangeException(nameof(hours), at, "Ages must be finite numbers above 0.");
            var failed = Estimate(LifeQuantities.FailedFraction(at), cancellationToken);
            points[i] = new PlotPoint(
                at, failed, Model.Plot.HoursToAxis(at), AxisOf(failed.Value), AxisOf(failed.Lower), AxisOf(failed.Upper));
        }

        return points;
    }

    private double? AxisOf(double? fraction)
    {
        if (fraction is not (> 0 and < 1))
            return null;
        var position = Model.Plot.FractionToAxis(fraction.Value);
        return double.IsFinite(position) ? position : null;
    }

    private BoundedEstimate Estimate(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        var builder = new EstimateBuilder(quantity, _side);
        if (_space is { } space)
            builder.Value(quantity.Transformed(space.LifeAt(0, 0)), space.StandardError(quantity));
        builder.Bounds(_bounds.Of(quantity, cancellationToken));
        return builder.Build();
    }

    private ParameterEstimate[] EstimateParameters(FitOptions options, CancellationToken cancellationToken)
    {
        var parameters = new ParameterEstimate[_parameterisation.Parameters.Count];
        for (var i = 0; i < parameters.Length; i++)
        {
            var name = _parameterisation.Parameters[i].Name;
            parameters[i] = options.FixedParameters.TryGetValue(name, out var value)
                ? new ParameterEstimate(name, new BoundedEstimate { Value = value }, true)
                : new ParameterEstimate(name, Estimate(_parameterisation.Quantities[i], cancellationToken), false);
        }

        return parameters;
    }

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

    private static BoundedEstimate Beyond(BoundedEstimate estimate) => estimate with
    {
        Notes = [.. estimate.Notes, new EngineWarning(
            WarningCodes.Extrapolation, "This lies beyond the oldest observed age: the model speaks here, not the data.")],
    };

    private static BoundedEstimate Certain() => new() { Value = 1, Lower = 1, Upper = 1, StandardError = 0 };

    private static void CheckFraction(double fraction)
    {
        if (!(fraction > 0 && fraction < 1))
        {
            throw new ArgumentOutOfRangeException(
                nameof(fraction), fraction.ToString("R", CultureInfo.InvariantCulture), "A failed fraction must be above 0 and below 1.");
        }
    }

    private static void CheckHours(double hours, string name)
    {
        if (!double.IsFinite(hours) || hours < 0)
            throw new ArgumentOutOfRangeException(name, hours, "Hours must be a finite number, 0 or more.");
    }
}
