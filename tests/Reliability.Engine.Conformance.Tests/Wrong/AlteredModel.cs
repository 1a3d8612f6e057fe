using System.Collections.Frozen;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>A right life model, of which one thing is made wrong. It claims less than it could, so that a battery is quick.</summary>
internal class AlteredModel : ILifeModel
{
    protected virtual ILifeModel Right { get; } = BuiltIns.Model("weibull");

    public virtual LifeModelDescription Description => Right.Description with { Id = "altered", Capabilities = Claims };

    public virtual ILifeFamily? Family => Right.Family;

    protected virtual LifeModelCapabilities Claims => Right.Description.Capabilities with
    {
        BoundsMethods = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation),
        BoundsMethodsWithFixedParameters = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation),
        ComparesCohorts = false,
        PredictsLives = false,
    };

    public virtual Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        RefuseMethod(options);
        return Answer(sample, options, cancellationToken);
    }

    /// <summary>The right answer with what is altered in it.</summary>
    protected virtual Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
        Right.Fit(sample, options, cancellationToken).TryGet(out var life, out var reason)
            ? Estimable<IFittedLife>.Of(Altered(life, sample, options))
            : reason;

    protected virtual IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => life;

    protected void RefuseMethod(FitOptions options)
    {
        if (!Claims.BoundsMethods.Contains(options.BoundsMethod))
            throw new UnsupportedRequestException("bounds_method", "Not available.");
    }
}
