using Reliability.History.Catalogue;

namespace Reliability.Store.Catalogue;

/// <summary>A module model was added. The id is that of its stream.</summary>
internal sealed record ModuleModelCreatedV1
{
    /// <summary>Its first values, which hold from the beginning.</summary>
    public required ModuleModelVersion Values { get; init; }
}
