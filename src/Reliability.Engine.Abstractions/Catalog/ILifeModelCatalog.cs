using System.Diagnostics.CodeAnalysis;

namespace Reliability.Engine.Abstractions;

/// <summary>The life models on offer, built-in and plugged-in, and what works without a model.</summary>
public interface ILifeModelCatalog
{
    /// <summary>Models in order of display.</summary>
    IReadOnlyList<ILifeModel> Models { get; }

    /// <summary>Model used when a request names none.</summary>
    ILifeModel Default { get; }

    /// <summary>Estimates and tests without a life model.</summary>
    INonparametricEstimator Nonparametric { get; }

    /// <summary>Version of the engine, for answers to carry.</summary>
    string EngineVersion { get; }

    /// <summary>Looks a model up by its id.</summary>
    /// <param name="id">The id, exactly as described.</param>
    /// <param name="model">The model, when there is one.</param>
    /// <returns>Whether there is one.</returns>
    bool TryGet(string id, [NotNullWhen(true)] out ILifeModel? model);
}
