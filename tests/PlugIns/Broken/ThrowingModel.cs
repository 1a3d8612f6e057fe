using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Broken;

/// <summary>An estimator that throws whatever it is given.</summary>
public sealed class ThrowingModel : ILifeModel
{
    public LifeModelDescription Description { get; } = new(
        "throwing", "Throwing", [ParameterDescription.Positive("mean", "hours")],
        new LifeModelCapabilities
        {
            SupportsIntervals = true,
            SupportsLateEntry = true,
            BoundsMethods = new HashSet<BoundsMethod> { BoundsMethod.NormalApproximation },
        },
        new BackwardFamily(), "0.1", "nowhere");

    public ILifeFamily? Family => null;

    public Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default) =>
        throw new InvalidOperationException("A secret of the plug-in's.");
}
