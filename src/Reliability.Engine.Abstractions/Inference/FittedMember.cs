using Reliability.Engine.Abstractions;
using Reliability.Engine.Fitting;

namespace Reliability.Engine.Families;

/// <summary>A fitted member of a family: every question is one of its quantities, estimated in one way.</summary>
internal abstract class FittedMember(LifeModelDescription model, ILifeFamily family, LifeSample sample) : FittedLife(model, sample)
{
    public ILifeFamily Family { get; } = family;

    protected FamilyQuantities Quantities { get; } = new(family);

    /// <summary>A quantity with its bounds.</summary>
    protected abstract BoundedEstimate Estimate(FamilyQuantity quantity, CancellationToken cancellationToken);

    protected override BoundedEstimate AskMean(CancellationToken cancellationToken) =>
        Estimate(Quantities.Mean(), cancellationToken);

    protected override BoundedEstimate AskPercentile(double fraction, CancellationToken cancellationToken) =>
        Estimate(Quantities.Percentile(fraction), cancellationToken);

    protected override BoundedEstimate AskReliability(double hours, CancellationToken cancellationToken) =>
        Estimate(Quantities.Reliability(hours), cancellationToken);

    protected override BoundedEstimate AskFailedFraction(double hours, CancellationToken cancellationToken) =>
        Estimate(Quantities.FailedFraction(hours), cancellationToken);

    protected override BoundedEstimate AskConditionalReliability(double age, double horizon, CancellationToken cancellationToken) =>
        Estimate(Quantities.ConditionalReliability(age, horizon), cancellationToken);

    protected override BoundedEstimate AskRemainingLife(double age, double fraction, CancellationToken cancellationToken) =>
        Estimate(Quantities.RemainingLife(age, fraction), cancellationToken);

    protected override BoundedEstimate AskMeanRemainingLife(double age, CancellationToken cancellationToken) =>
        Estimate(Quantities.MeanRemainingLife(age), cancellationToken);
}
