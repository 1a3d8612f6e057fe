using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Tests.Guarding;

/// <summary>A plug-in of given families and estimators; null families throw when they are asked for.</summary>
public sealed class PlugInOf(IReadOnlyList<ILifeFamily>? families, params IReadOnlyList<ILifeModel> estimators) : ILifeModelPlugIn
{
    public string Id { get; init; } = "odd-plug-in";

    public string Version { get; init; } = "7";

    public string Publisher { get; init; } = "Nobody";

    public IReadOnlyList<PublishedFamily> Families =>
        families is null ? throw new InvalidOperationException("No families.") : [.. families.Select(f => new PublishedFamily(f, "a test"))];

    public IReadOnlyList<ILifeModel> Estimators => estimators;

    /// <summary>The one life model of such a plug-in as the service gets it.</summary>
    public static ILifeModel Taken(PlugInOf plugIn)
    {
        var catalog = PlugInCatalog.Of([new("place", plugIn, "")], []);
        Assert.Empty(catalog.Refused);
        return catalog.Models.Models[^1];
    }
}
