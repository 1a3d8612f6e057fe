using Reliability.History.Catalogue;
using Reliability.Store.Revisions;

namespace Reliability.Store.Catalogue;

/// <summary>A module model as it stands in the catalogue.</summary>
/// <param name="Model">The model with all its versions, oldest first.</param>
/// <param name="Etag">Changes with every update.</param>
/// <param name="CreateTime">When it was added, UTC.</param>
/// <param name="UpdateTime">When it was last changed, UTC.</param>
/// <param name="Revision">The state of the record with its last change in.</param>
public sealed record StoredModuleModel(
    ModuleModel Model, string Etag, DateTimeOffset CreateTime, DateTimeOffset UpdateTime, Revision Revision)
{
    /// <summary>The values recorded last.</summary>
    public ModuleModelVersion Latest => Model.Versions[^1];
}
