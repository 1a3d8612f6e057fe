using System.Collections.Frozen;
using System.Diagnostics.CodeAnalysis;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Nonparametric;

namespace Reliability.Engine.Catalog;

/// <summary>A fixed list of life models.</summary>
internal sealed class LifeModelCatalog : ILifeModelCatalog
{
    private readonly FrozenDictionary<string, ILifeModel> _byId;

    /// <exception cref="ArgumentException">Two models share an id, or there is no model.</exception>
    public LifeModelCatalog(IReadOnlyList<ILifeModel> models)
    {
        Models = models;
        Default = models[0];
        _byId = models.ToDictionary(m => m.Description.Id, StringComparer.Ordinal).ToFrozenDictionary(StringComparer.Ordinal);
    }

    public IReadOnlyList<ILifeModel> Models { get; }

    public ILifeModel Default { get; }

    public INonparametricEstimator Nonparametric { get; } = new NonparametricEstimator();

    public string EngineVersion => Catalog.EngineVersion.Text;

    public bool TryGet(string id, [NotNullWhen(true)] out ILifeModel? model) => _byId.TryGetValue(id, out model);
}
