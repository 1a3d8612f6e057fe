using Reliability.History.Catalogue;

namespace Reliability.Store.Catalogue;

/// <summary>A module model was changed.</summary>
internal sealed record ModuleModelUpdatedV1
{
    /// <summary>All its values from their effective time on, changed or not.</summary>
    public required ModuleModelVersion Values { get; init; }
}
