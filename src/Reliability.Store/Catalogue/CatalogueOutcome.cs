namespace Reliability.Store.Catalogue;

/// <summary>What became of a change of the catalogue.</summary>
public abstract record CatalogueOutcome
{
    private CatalogueOutcome()
    {
    }

    /// <summary>Done, durably.</summary>
    /// <param name="Model">The model as it stands now.</param>
    public sealed record Stored(StoredModuleModel Model) : CatalogueOutcome;

    /// <summary>Refused: a model with this id is there already.</summary>
    /// <param name="Model">The model that is there.</param>
    public sealed record AlreadyExists(StoredModuleModel Model) : CatalogueOutcome;

    /// <summary>Refused: there is no model with this id.</summary>
    public sealed record NotFound : CatalogueOutcome;

    /// <summary>Refused: the model was changed since the etag given was read.</summary>
    /// <param name="Model">The model as it stands now.</param>
    public sealed record Conflict(StoredModuleModel Model) : CatalogueOutcome;
}
