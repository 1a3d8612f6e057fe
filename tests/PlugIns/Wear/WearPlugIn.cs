using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Wear;

/// <summary>A plug-in as it should be: one family, one estimator, one dependency of its own.</summary>
public sealed class WearPlugIn : ILifeModelPlugIn
{
    public string Id => "wear";

    public string Version => "1.2.3";

    public string Publisher => "The tests";

    public IReadOnlyList<PublishedFamily> Families { get; } = [new(new GompertzFamily(), "Gompertz 1825")];

    public IReadOnlyList<ILifeModel> Estimators { get; } = [new MedianRankRegression()];
}
