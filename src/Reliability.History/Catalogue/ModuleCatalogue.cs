namespace Reliability.History.Catalogue;

/// <summary>The module models known, to be looked up by id.</summary>
public sealed class ModuleCatalogue
{
    private readonly Dictionary<string, ModuleModel> _models;

    /// <summary>A catalogue of these models; of two with one id the last counts.</summary>
    /// <param name="models">The models, each with at least one version.</param>
    public ModuleCatalogue(IEnumerable<ModuleModel> models)
    {
        _models = new(StringComparer.Ordinal);
        foreach (var model in models)
            _models[model.Id] = model;
    }

    /// <summary>A catalogue without any model.</summary>
    public static ModuleCatalogue Empty { get; } = new([]);

    /// <summary>The model with an id, or null when it has not arrived.</summary>
    /// <param name="id">Resource id of the model.</param>
    public ModuleModel? Find(string id) => _models.GetValueOrDefault(id);
}
