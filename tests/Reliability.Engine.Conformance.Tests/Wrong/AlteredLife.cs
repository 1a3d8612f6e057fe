using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>A right fitted life, of which one thing is made wrong.</summary>
internal class AlteredLife(IFittedLife right) : IFittedLife
{
    protected IFittedLife Right { get; } = right;

    public LifeModelDescription Model => Right.Model;

    public BoundsMethod BoundsMethod => Right.BoundsMethod;

    public virtual double ConfidenceLevel => Right.ConfidenceLevel;

    public virtual IReadOnlyList<ParameterEstimate> Parameters => Right.Parameters;

    public IReadOnlyList<double> Covariance => Right.Covariance;

    public virtual double? LogLikelihood => Right.LogLikelihood;

    public virtual IReadOnlyList<EngineWarning> Warnings => Right.Warnings;

    public BoundedEstimate Mean(CancellationToken cancellationToken = default) => Right.Mean(cancellationToken);

    public virtual BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default) =>
        Right.PercentileLife(failureFraction, cancellationToken);

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default) => Right.Reliability(hours, cancellationToken);

    public BoundedEstimate ConditionalReliability(double ageHours, double horizonHours, CancellationToken cancellationToken = default) =>
        Right.ConditionalReliability(ageHours, horizonHours, cancellationToken);

    public virtual BoundedEstimate RemainingLife(double ageHours, double failureFraction, CancellationToken cancellationToken = default) =>
        Right.RemainingLife(ageHours, failureFraction, cancellationToken);

    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default) =>
        Right.MeanRemainingLife(ageHours, cancellationToken);

    public virtual IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default) =>
        Right.Curve(hours, cancellationToken);
}
