using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Tests.Guarding;

/// <summary>A fitted life that is right but for what a test spoils.</summary>
public sealed class OddFit(IFittedLife right) : IFittedLife
{
    public LifeModelDescription Model => right.Model;

    public BoundsMethod BoundsMethod => right.BoundsMethod;

    public double ConfidenceLevel { get; init; } = right.ConfidenceLevel;

    public IReadOnlyList<ParameterEstimate> Parameters { get; init; } = right.Parameters;

    public IReadOnlyList<double> Covariance { get; init; } = right.Covariance;

    public double? LogLikelihood { get; init; } = right.LogLikelihood;

    public IReadOnlyList<EngineWarning> Warnings { get; init; } = right.Warnings;

    public Func<BoundedEstimate, BoundedEstimate> Spoil { get; init; } = x => x;

    public Func<double, double> SpoilFraction { get; init; } = x => x;

    public Func<IReadOnlyList<PlotPoint>, IReadOnlyList<PlotPoint>> SpoilCurve { get; init; } = x => x;

    public BoundedEstimate Mean(CancellationToken cancellationToken = default) => Spoil(right.Mean(cancellationToken));

    public BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default) =>
        right.PercentileLife(SpoilFraction(failureFraction), cancellationToken);

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default) =>
        Spoil(right.Reliability(hours, cancellationToken));

    public BoundedEstimate ConditionalReliability(double ageHours, double horizonHours, CancellationToken cancellationToken = default) =>
        Spoil(right.ConditionalReliability(ageHours, horizonHours, cancellationToken));

    public BoundedEstimate RemainingLife(double ageHours, double failureFraction, CancellationToken cancellationToken = default) =>
        Spoil(right.RemainingLife(ageHours, failureFraction, cancellationToken));

    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default) =>
        Spoil(right.MeanRemainingLife(ageHours, cancellationToken));

    public IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default) =>
        SpoilCurve(right.Curve(hours, cancellationToken));
}
