using Reliability.Engine.Abstractions;
using Reliability.Engine.Fitting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>A member of a family with what is known of how well its parameters were estimated.</summary>
internal sealed class FittedByDeltaMethod : FittedMember, IFittedLife
{
    private readonly FreeParameters _free;
    private readonly double[] _point;
    private readonly double[,]? _root;
    private readonly double _normal;

    /// <param name="model">Description of the model.</param>
    /// <param name="family">The distribution.</param>
    /// <param name="estimate">What was estimated.</param>
    /// <param name="sample">The lives.</param>
    /// <param name="options">The options of the fit.</param>
    /// <param name="free">The parameters that were estimated.</param>
    /// <param name="point">Their estimates on the unbounded scales.</param>
    /// <param name="root">Root of their covariance there; null when it is not known.</param>
    public FittedByDeltaMethod(
        LifeModelDescription model, ILifeFamily family, FamilyEstimate estimate, LifeSample sample, FitOptions options,
        FreeParameters free, double[] point, double[,]? root)
        : base(model, family, sample)
    {
        (_free, _point, _root) = (free, point, root);
        ConfidenceLevel = options.ConfidenceLevel;
        Covariance = estimate.Covariance;
        LogLikelihood = estimate.LogLikelihood;
        Warnings = estimate.Warnings;
        _normal = NormalQuantile.TwoSided(ConfidenceLevel);
        Parameters =
        [
            .. family.Parameters.Select((p, i) => new ParameterEstimate(
                p.Name,
                options.FixedParameters.ContainsKey(p.Name)
                    ? new BoundedEstimate { Value = estimate.Parameters[i] }
                    : Estimate(Quantities.Parameter(i), CancellationToken.None) with { Value = estimate.Parameters[i] },
                options.FixedParameters.ContainsKey(p.Name))),
        ];
    }

    public override BoundsMethod BoundsMethod => BoundsMethod.NormalApproximation;

    public override double ConfidenceLevel { get; }

    public override IReadOnlyList<ParameterEstimate> Parameters { get; }

    public override IReadOnlyList<double> Covariance { get; }

    public override double? LogLikelihood { get; }

    public override IReadOnlyList<EngineWarning> Warnings { get; }

    protected override BoundedEstimate Estimate(FamilyQuantity quantity, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        var builder = new EstimateBuilder(quantity.Scale, BoundSide.Both);
        if (_root is null)
        {
            builder.Value(quantity.Transformed(_free.Natural(_point)), double.NaN);
            var value = quantity.InPlace(builder.Build());
            return value with
            {
                Notes = [.. value.Notes, new EngineWarning(
                    WarningCodes.NoBounds, "There are no bounds: the estimator does not say how well its parameters are known.")],
            };
        }

        var (centre, error) = _free.AtEstimate(quantity, _point, _root);
        builder.Value(centre, error);
        builder.Bounds(double.IsFinite(centre) && double.IsFinite(error)
            ? (centre - _normal * error, centre + _normal * error)
            : new Bounds.FoundBounds(null, null) { IsLowerNotFound = true, IsUpperNotFound = true });
        return quantity.InPlace(builder.Build());
    }
}
