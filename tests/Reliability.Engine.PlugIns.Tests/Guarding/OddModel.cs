using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Tests.Guarding;

/// <summary>An estimator that answers what a test gives it.</summary>
public sealed class OddModel(Func<LifeSample, FitOptions, CancellationToken, Estimable<IFittedLife>> fit) : ILifeModel
{
    private static readonly OddFamily Exponential = new();

    public LifeModelDescription Description { get; init; } = new(
        "odd-estimator", "Odd estimator", Exponential.Parameters,
        new LifeModelCapabilities { BoundsMethods = new HashSet<BoundsMethod> { BoundsMethod.NormalApproximation } },
        Exponential.Plot, "7", "a test");

    public ILifeFamily? Family => null;

    public Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default) =>
        fit(sample, options, cancellationToken);

    /// <summary>A fit that is as it should be: mean 400 h, standard error 100 h.</summary>
    public static IFittedLife Right(LifeSample sample, FitOptions options) => DeltaMethod.Fitted(
        new OddModel((_, _, _) => null!).Description, Exponential, new FamilyEstimate([400]) { Covariance = [1e4], LogLikelihood = -20 }, sample, options);
}
