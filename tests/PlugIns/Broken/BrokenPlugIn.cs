using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Broken;

/// <summary>Loads like any other; what it brings does not keep the contract.</summary>
public sealed class BrokenPlugIn : ILifeModelPlugIn
{
    public string Id => "broken";

    public string Version => "0.1";

    public string Publisher => "The tests";

    public IReadOnlyList<PublishedFamily> Families { get; } = [new(new BackwardFamily(), "nowhere")];

    public IReadOnlyList<ILifeModel> Estimators { get; } = [new ThrowingModel()];
}
