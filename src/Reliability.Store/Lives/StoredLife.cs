using Reliability.History.Lives;
using Reliability.Store.Revisions;

namespace Reliability.Store.Lives;

/// <summary>A life and the revision it was derived at.</summary>
/// <param name="Life">The life.</param>
/// <param name="Revision">Position of its record's last event, and version of its model in the catalogue.</param>
public sealed record StoredLife(Life Life, Revision Revision);
