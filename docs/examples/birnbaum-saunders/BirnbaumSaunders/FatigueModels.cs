using Reliability.Engine.Abstractions;

namespace BirnbaumSaunders;

/// <summary>What the service finds in this assembly: the one public class that implements the interface.</summary>
public sealed class FatigueModels : ILifeModelPlugIn
{
    public string Id => "fatigue-models";

    public string Version => "1.0.0";

    public string Publisher => "Example group";

    public IReadOnlyList<PublishedFamily> Families { get; } = [new(new BirnbaumSaundersFamily(), BirnbaumSaundersFamily.Source)];

    public IReadOnlyList<ILifeModel> Estimators { get; } = [new GraphicalBirnbaumSaunders()];
}
