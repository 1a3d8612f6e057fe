using System.Collections.Frozen;
using Reliability.Engine;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis.Tests.Fits;

/// <summary>A plug-in that offers little: exact failures and survivors, one bounds method, no comparison.</summary>
internal sealed class PlainModel : ILifeModel
{
    private static readonly ILifeModel Weibull = BuiltInLifeModels.CreateCatalog().Default;

    public LifeModelDescription Description { get; } = Weibull.Description with
    {
        Id = "plain",
        Capabilities = new() { BoundsMethods = new[] { BoundsMethod.NormalApproximation }.ToFrozenSet() },
    };

    public ILifeFamily? Family => null;

    public Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default) =>
        Weibull.Fit(sample, options, cancellationToken);
}
