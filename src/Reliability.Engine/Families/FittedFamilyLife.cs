using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Fitting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>A fitted member of any family.</summary>
internal sealed class FittedFamilyLife : FittedMember, IFittedLife
{
    private readonly FreeParameters _parameters;
    private readonly FamilyMaximum _maximum;
    private readonly IFamilyBounds? _byLikelihood;
    private readonly double _normal;

    /// <param name="model">Description of the model.</param>
    /// <param name="surface">The likelihood.</param>
    /// <param name="maximum">Its maximum.</param>
    /// <param name="byLikelihood">Bounds by likelihood ratio or simulation; null where they are by normal approximation.</param>
    /// <param name="options">The options of the fit.</param>
    /// <param name="warnings">What holds for the whole fit.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <param name="parameters">Estimates of the parameters where they are known already.</param>
    public FittedFamilyLife(
        LifeModelDescription model, Surface surface, FamilyMaximum maximum, IFamilyBounds? byLikelihood, FitOptions options,
        IReadOnlyList<EngineWarning> warnings, CancellationToken cancellationToken, IReadOnlyList<ParameterEstimate>? parameters = null)
        : base(model, surface.Likelihood.Family, surface.Likelihood.Sample)
    {
        _parameters = surface.Parameters;
        _maximum = maximum;
        BoundsMethod = options.BoundsMethod;
        ConfidenceLevel = options.ConfidenceLevel;
        Warnings = warnings;
        _normal = ReferenceDistributions.TwoSidedNormal(ConfidenceLevel);
        _byLikelihood = byLikelihood;
        Parameters = parameters ?? EstimateParameters(options, cancellationToken);
        Covariance = CovarianceOf();
    }

    public override BoundsMethod BoundsMethod { get; }

    public override double ConfidenceLevel { get; }

    public override IReadOnlyList<ParameterEstimate> Parameters { get; }

    public override IReadOnlyList<double> Covariance { get; }

    public override double? LogLikelihood => _maximum.Value;

    public override IReadOnlyList<EngineWarning> Warnings { get; }

    public IReadOnlyList<IFittedMode> Modes { get; init; } = [];

    public ObservationPlan? Plan { get; init; }

    public SimulatedBounds? Simulation { get; init; }

    protected override BoundedEstimate Estimate(FamilyQuantity quantity, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        var builder = new EstimateBuilder(quantity.Scale, BoundSide.Both);
        var (centre, error) = _parameters.AtEstimate(quantity, _maximum.Point, _maximum.Root);
        builder.Value(centre, error);
        builder.Bounds(Bounds(quantity, centre, error, cancellationToken));
        return quantity.InPlace(builder.Build());
    }

    private FoundBounds Bounds(
        FamilyQuantity quantity, double centre, double error, CancellationToken cancellationToken)
    {
        // At a border, as a reliability of 1 below the location: the border is one bound, and the other one is still looked for.
        if (double.IsNegativeInfinity(centre) && _byLikelihood?.Extreme(quantity, 1, cancellationToken) is { Value: { } far } && far > centre)
            return new FoundBounds(centre, far);
        if (!double.IsFinite(centre))
            return new FoundBounds(null, null) { IsLowerNotFound = true, IsUpperNotFound = true };
        if (_byLikelihood is not null)
        {
            var lower = _byLikelihood.Extreme(quantity, -1, cancellationToken);
            var upper = _byLikelihood.Extreme(quantity, 1, cancellationToken);
            return new FoundBounds(lower.Value, upper.Value)
            {
                IsLowerNotFound = lower is { Value: null, IsEndless: false },
                IsUpperNotFound = upper is { Value: null, IsEndless: false },
            };
        }

        return double.IsFinite(error)
            ? (centre - _normal * error, centre + _normal * error)
            : new FoundBounds(null, null) { IsLowerNotFound = true, IsUpperNotFound = true };
    }

    private ParameterEstimate[] EstimateParameters(FitOptions options, CancellationToken cancellationToken) =>
    [
        .. Model.Parameters.Select((p, i) => options.FixedParameters.TryGetValue(p.Name, out var value)
            ? new ParameterEstimate(p.Name, new BoundedEstimate { Value = value }, true)
            : new ParameterEstimate(p.Name, Estimate(Quantities.Parameter(i), cancellationToken), false)),
    ];

    private double[] CovarianceOf()
    {
        var size = Model.Parameters.Count;
        var covariance = new double[size * size];
        for (var i = 0; i < _parameters.Count; i++)
        {
            for (var j = 0; j < _parameters.Count; j++)
            {
                covariance[_parameters.IndexOf(i) * size + _parameters.IndexOf(j)] = _maximum.Covariance(i, j)
                    * _parameters.Slope(i, _maximum.Point[i]) * _parameters.Slope(j, _maximum.Point[j]);
            }
        }

        return Array.TrueForAll(covariance, double.IsFinite) ? covariance : [];
    }
}
